/* Photos without signal: kept on this phone with the time they were picked, and sent when there is signal again.
   Each carries the number of its press, so that sending it twice does no harm. Without this file photos go the plain
   way, and without signal not at all. */
(function () {
  "use strict";

  var HEAVIEST = 40 * 1024 * 1024, EVERY = 30000, SAID = "gatherbook-said";
  var sending = false, opened = null;

  function page() { return document.querySelector("[data-person]"); }
  function form() { return document.querySelector("form[data-keeps-photos]"); }

  /* The store. Entries: {id, person, name, action, at, fields: [[name, value]], files: [{name, type, data}], refused} */
  function store() {
    if (!opened) opened = new Promise(function (done, failed) {
      var asked = indexedDB.open("gatherbook", 1);
      asked.onupgradeneeded = function () { asked.result.createObjectStore("photos", { keyPath: "id" }); };
      asked.onsuccess = function () { done(asked.result); };
      asked.onerror = function () { opened = null; failed(asked.error); };
    });
    return opened;
  }

  async function ask(mode, request) {
    var work = (await store()).transaction("photos", mode), asked = request(work.objectStore("photos"));
    return new Promise(function (done, failed) {
      work.oncomplete = function () { done(asked.result); };
      work.onabort = work.onerror = function () { failed(work.error || asked.error); };
    });
  }

  async function kept() {
    try {
      var all = await ask("readonly", function (photos) { return photos.getAll(); });
      return all.sort(function (a, b) { return a.at < b.at ? -1 : 1; });
    } catch (noStore) { return []; }
  }
  function put(entry) { return ask("readwrite", function (photos) { return photos.put(entry); }); }
  function drop(id) { return ask("readwrite", function (photos) { return photos.delete(id); }); }

  /* Keeping. */
  async function keep(action, fields, files) {
    var heavy = files.find(function (file) { return file.size > HEAVIEST; });
    if (heavy) { tell(heavy.name + " is heavier than 40 MB and is not kept. Take a smaller photo."); return false; }
    var number = fields.find(function (pair) { return pair[0] === "submission" && pair[1]; });
    var id = number ? number[1] : Kept.newNumber();
    var rest = fields.filter(function (pair) { return ["submission", "csrfmiddlewaretoken", "pressed_at"].indexOf(pair[0]) === -1; });
    try {
      var held = await Promise.all(files.map(async function (file) {
        return { name: file.name, type: file.type, data: await file.arrayBuffer() };
      }));
      await put({ id: id, person: page().dataset.person, name: page().dataset.personName, action: action,
        at: new Date().toISOString(), fields: rest, files: held });
    } catch (noRoom) {
      tell("This phone has no room to keep the photo. Hold on to it, and add it when there is a signal.");
      return false;
    }
    if (navigator.storage && navigator.storage.persist) navigator.storage.persist();
    await show();
    return true;
  }

  /* What the page says of them. */
  function counted(files) { return files === 1 ? "1 photo" : files + " photos"; }

  function tell(words) {
    var box = document.querySelector("[data-kept-photos]");
    box.hidden = false;
    box.querySelector("[data-photos-count]").textContent = words;
    box.scrollIntoView({ block: "nearest" });
  }

  async function show() {
    var box = document.querySelector("[data-kept-photos]");
    if (!box) return;
    var entries = await kept(), mine = page().dataset.person;
    var waiting = entries.filter(function (one) { return !one.refused; });
    var count = waiting.reduce(function (sum, one) { return sum + one.files.length; }, 0);
    var words = count ? counted(count) + " kept on this phone" : entries.length ? "Not taken; see below" : "";
    words += Kept.strangers(waiting, mine);
    box.hidden = !entries.length;
    box.querySelector("[data-photos-count]").textContent = words;
    var list = box.querySelector("[data-photos-list]");
    list.replaceChildren();
    entries.forEach(function (one) { list.append(line(one)); });
  }

  function line(one) {
    return Kept.line(one, counted(one.files.length), function () { drop(one.id).then(show); });
  }

  /* Sending: in the order picked, and only what this person picked. */
  function body(one) {
    var data = new FormData();
    one.fields.forEach(function (pair) { data.append(pair[0], pair[1]); });
    data.set("submission", one.id);
    data.set("pressed_at", one.at);
    data.set("csrfmiddlewaretoken", Kept.token());
    one.files.forEach(function (file) { data.append("photos", new Blob([file.data], { type: file.type }), file.name); });
    return data;
  }

  async function sendKept() {
    if (sending || !navigator.onLine || !page()) return;
    sending = true;
    var sent = 0, refused = 0, mine = page().dataset.person;
    try {
      for (var one of await kept()) {
        if (one.person !== mine || one.refused) continue;
        var answer = await fetch(one.action, { method: "POST", body: body(one), credentials: "same-origin" });
        if (Kept.laterPerhaps(answer)) break;
        if (answer.ok) { await drop(one.id); sent += one.files.length; }
        else { one.refused = Kept.refusalIn(await answer.text()); await put(one); refused += 1; }
      }
    } catch (noSignal) { /* still none: they stay */ }
    sending = false;
    if (sent || refused) await show();
    if (sent && !(await kept()).length) tell(sent === 1 ? "The kept photo is sent" : "The " + sent + " kept photos are sent");
  }

  /* On the bench, where the page of photos cannot be had without signal: pick one here. */
  function pick(event) {
    var link = event.target.closest("[data-takes-photo]");
    if (!link || navigator.onLine) return;
    event.preventDefault();
    var field = document.createElement("input");
    field.type = "file";
    field.accept = "image/*";
    field.multiple = true;
    field.addEventListener("change", function () {
      if (field.files.length) keep(link.href, [["subject", "so-far"]], Array.from(field.files));
    });
    field.click();
  }

  /* On the page of photos: where the signal is gone, or goes on the way, what was written stays with them. */
  async function submit(event) {
    var sent = event.target;
    if (sent !== form() || !sent.elements.photos.files.length) return;
    event.preventDefault();
    event.stopImmediatePropagation();
    if (sent.dataset.sent) return;
    sent.dataset.sent = "yes";
    try {
      var answer = await fetch(sent.action, { method: "POST", body: new FormData(sent), credentials: "same-origin" });
      if (Kept.laterPerhaps(answer)) { await keepForm(sent); if (answer.status < 500) location.reload(); return; }
      arrive(answer, await answer.text());
    } catch (noSignal) {
      await keepForm(sent);
    }
  }

  async function keepForm(sent) {
    var fields = Array.from(new FormData(sent).entries()).filter(function (pair) { return typeof pair[1] === "string"; });
    delete sent.dataset.sent;
    if (!(await keep(sent.action, fields, Array.from(sent.elements.photos.files)))) return;
    sent.reset();
    sent.elements.submission.value = Kept.newNumber();
  }

  /* Taken: on to the bench, with what the answer said. Refused: its page stands here. */
  function arrive(answer, text) {
    var fresh = new DOMParser().parseFromString(text, "text/html"), content = fresh.getElementById("content");
    if (answer.redirected) {
      try { sessionStorage.setItem(SAID, fresh.getElementById("messages").textContent.trim()); } catch (unsaid) { /* the photo shows */ }
      location.assign(answer.url);
      return;
    }
    if (!content) { location.reload(); return; }
    document.getElementById("content").replaceWith(document.adoptNode(content));
    document.getElementById("content").focus();
    show();
  }

  function sayWhatWasSaid() {
    var said = sessionStorage.getItem(SAID);
    sessionStorage.removeItem(SAID);
    if (said) tell(said);
  }

  document.addEventListener("click", pick);
  document.addEventListener("submit", submit, true);
  document.addEventListener("htmx:afterSwap", show);
  window.addEventListener("online", sendKept);
  document.addEventListener("visibilitychange", function () { if (!document.hidden) sendKept(); });
  setInterval(sendKept, EVERY);

  show().then(sayWhatWasSaid).then(sendKept);
})();
