/* The bench without signal: what is pressed is kept on this phone with the time of the press, and sent when there is
   signal again. Each entry carries the number of its press, so that sending it twice does no harm.
   Also plus and minus beside a reading. Without this file the page works as plain forms. */
(function () {
  "use strict";

  var KEY = "gatherbook-kept";
  var bench = document.getElementById("bench");
  if (!bench) return;
  var person = bench.dataset.person;
  var sending = false;

  /* Kept entries: {person, name, what, action, fields: [[name, value]], at, refused} */
  function kept() {
    try { return JSON.parse(localStorage.getItem(KEY)) || []; } catch (unreadable) { return []; }
  }
  function keep(entries) {
    try { localStorage.setItem(KEY, JSON.stringify(entries)); return true; } catch (refused) { return false; }
  }
  function drop(at, submission) {
    keep(kept().filter(function (one) { return one.at !== at || one.id !== submission; }));
  }

  /* What the page says of them. */
  function show() {
    var box = document.querySelector("[data-kept]");
    if (!box) return;
    var entries = kept();
    var waiting = entries.filter(function (one) { return !one.refused; });
    box.hidden = entries.length === 0;
    var words = waiting.length === 1 ? "1 entry kept on this phone" : waiting.length + " entries kept on this phone";
    if (!waiting.length) words = entries.length ? "Not taken; see below" : "";
    words += Kept.strangers(waiting, person);
    box.querySelector("[data-kept-count]").textContent = words;
    var list = box.querySelector("[data-kept-list]");
    list.replaceChildren();
    entries.forEach(function (one) { list.append(line(one)); });
  }

  function line(one) {
    return Kept.line(one, one.what, function () { drop(one.at, one.id); if (navigator.onLine) location.reload(); else show(); });
  }

  /* Sending: in the order pressed, one after another, and only what this person pressed. */
  function body(one, token) {
    var data = new URLSearchParams();
    one.fields.forEach(function (pair) { if (pair[0] !== "csrfmiddlewaretoken") data.append(pair[0], pair[1]); });
    data.set("pressed_at", one.at);
    data.set("csrfmiddlewaretoken", token);
    return data;
  }

  function post(one) {
    return fetch(one.action, { method: "POST", body: body(one, Kept.token()), credentials: "same-origin" });
  }

  async function sendKept() {
    if (sending) return;
    sending = true;
    var sent = 0;
    try {
      for (var one of kept().filter(function (entry) { return entry.person === person && !entry.refused; })) {
        var answer = await post(one);
        if (Kept.laterPerhaps(answer)) break;
        if (answer.ok) { drop(one.at, one.id); sent += 1; continue; }
        var words = Kept.refusalIn(await answer.text());
        var id = one.id;
        keep(kept().map(function (entry) { return entry.id === id ? Object.assign(entry, { refused: words }) : entry; }));
      }
    } catch (noSignal) { /* still none: they stay */ }
    sending = false;
    if (sent) location.reload();
    else show();
  }

  /* Pressing. */
  function entryOf(form, button) {
    var data = new FormData(form, button);
    return {
      id: data.get("submission") || Kept.newNumber(),
      person: person,
      name: bench.dataset.personName,
      what: whatIs(form, data),
      action: form.action,
      fields: Array.from(data.entries()).filter(function (pair) { return typeof pair[1] === "string"; }),
      at: new Date().toISOString(),
    };
  }

  function whatIs(form, data) {
    if (form.dataset.keep === "Clock") return { in: "Start", out: "Stop", undo: "Undo the stop" }[data.get("press")];
    if (form.dataset.keep === "Pass") return "Pass " + data.get("number") + (data.get("untick") ? " taken back" : " done");
    if (form.dataset.keep === "Progress") return data.get("reopen") ? "Stage reopened" : data.get("share") === "1" ? "Stage done" : "How far it has got";
    return form.dataset.keep + " " + (data.get("value") || (data.get("text") || "").slice(0, 30));
  }

  function keepHere(form, one) {
    if (!keep(kept().concat([one]))) {
      window.alert("This phone does not let the page keep anything. Write it down and enter it later.");
      return;
    }
    var number = form.querySelector("[name=submission]");
    if (number) number.value = Kept.newNumber();
    if (form.dataset.keep === "Clock") turnClock(form, one);
    if (form.dataset.keep === "Note") form.querySelector("textarea").value = "";
    if (form.dataset.keep === "Reading") form.querySelector("[name=value]").value = "";
    if (form.dataset.keep === "Pass" || form.dataset.keep === "Progress") form.querySelectorAll("button").forEach(function (button) { button.disabled = true; });
    delete form.dataset.sent;
    show();
  }

  /* Without signal the plate shows what was pressed, so that nobody presses twice. */
  function turnClock(form, one) {
    var press = one.fields.find(function (pair) { return pair[0] === "press"; })[1];
    var plate = form.querySelector(".clock-plate");
    var running = press !== "out";
    plate.value = running ? "out" : "in";
    plate.classList.toggle("stopped", !running);
    plate.removeAttribute("aria-label");
    form.querySelector("[data-clock-do]").textContent = running ? "Stop" : "Start";
    form.querySelector("[data-clock-words]").textContent = bench.dataset.personName + (running ? ", since " : ", stopped ") + Kept.timeOf(one.at);
    var time = form.querySelector(".clock-time");
    var undo = form.querySelector("[name=press][value=undo]");
    if (undo) undo.remove();
    form.classList.remove("bench-clock-undo");
    var ticks = form.querySelector(".minute-ticks");
    if (running) {
      time.textContent = "0:00";
      time.dataset.clock = ticks.dataset.clockTicks = one.at;
    } else {
      time.textContent = time.firstChild.nodeValue;
      delete time.dataset.clock;
      delete ticks.dataset.clockTicks;
    }
  }

  /* The page as it is after the press, without loading it twice. */
  function become(text, address, form) {
    var page = new DOMParser().parseFromString(text, "text/html");
    var fresh = page.getElementById("content");
    if (!fresh || !page.getElementById("bench")) { location.assign(address); return; }
    document.getElementById("content").replaceWith(document.adoptNode(fresh));
    bench = document.getElementById("bench");
    history.replaceState(null, "", address);
    stepperReady();
    show();
    var plate = form.dataset.keep === "Clock" && document.querySelector(".clock-plate");
    (plate || document.getElementById("content")).focus({ preventScroll: true });
    var messages = document.getElementById("messages"), question = document.querySelector("[data-question], [data-refusal]");
    if (question && question.hasAttribute("tabindex")) question.focus();
    else if (question) question.scrollIntoView({ block: "nearest" });
    else if (messages && messages.textContent.trim()) messages.scrollIntoView({ block: "nearest" });
    document.dispatchEvent(new CustomEvent("htmx:afterSwap", { bubbles: true }));
  }

  async function press(event) {
    var form = event.target;
    if (!(form instanceof HTMLFormElement) || !form.dataset.keep) return;
    event.preventDefault();
    event.stopImmediatePropagation();
    if (form.dataset.sent) return;
    form.dataset.sent = "yes";
    var one = entryOf(form, event.submitter);
    if (kept().some(function (entry) { return entry.person === person && !entry.refused; })) {
      keepHere(form, one);  // what was pressed before goes first
      sendKept();
      return;
    }
    try {
      var data = new URLSearchParams(one.fields);
      var answer = await fetch(one.action, { method: "POST", body: data, credentials: "same-origin" });
      var address = answer.status < 300 ? answer.url : location.href;
      if (Kept.laterPerhaps(answer)) {
        keepHere(form, one);
        if (answer.status < 500) location.reload();
        return;
      }
      become(await answer.text(), answer.redirected ? answer.url : address, form);
    } catch (noSignal) {
      keepHere(form, one);
    }
  }

  /* Plus and minus. */
  function stepperReady() {
    document.querySelectorAll("[data-check] [data-steps]").forEach(function (button) { button.type = "button"; });
  }

  /* A length or an angle as the trade writes it, in the field's own unit; what is read otherwise, the shop's machine reads. */
  var MM_IN = { mm: 1, cm: 10, in: 25.4, "in.": 25.4, inch: 25.4, inches: 25.4, "\"": 25.4 };

  function readValue(text, form) {
    var plain = text.toLowerCase().replace(/[\u2033\u201c\u201d]|''/g, "\"").replace(/[\u2010-\u2014\u2212]/g, "-").replace(/\s+/g, " ").trim();
    var mixed = plain.match(/^(?:(\d+)[ -] ?)?(\d+) ?\/ ?([1-9]\d*) ?(\D*)$/);
    if (mixed) return inItsUnit(Number(mixed[1] || 0) + Number(mixed[2]) / Number(mixed[3]), mixed[4], form);
    var whole = plain.match(/^([1-9]\d{0,2}(?: \d{3})+(?:[.,]\d*)?|\d+(?:[.,]\d*)?|[.,]\d+) ?(\D*)$/);
    return whole ? inItsUnit(Number(whole[1].replace(/ /g, "").replace(",", ".")), whole[2], form) : null;
  }

  function inItsUnit(number, unit, form) {
    if (form.dataset.units === "°") return ["", "°", "deg", "deg."].includes(unit) ? number : null;
    if (!unit) return number;
    return MM_IN[unit] ? number * MM_IN[unit] / Number(form.dataset.perUnit) : null;
  }

  function writeValue(value, form) {
    var thickness = form.dataset.kind === "thickness";
    if (form.dataset.units !== "in") return String(Math.round(value * (thickness ? 100 : 10)) / (thickness ? 100 : 10));
    if (thickness) return value.toFixed(3);
    var parts = Math.round(value * 32), whole = Math.floor(parts / 32), top = parts % 32, bottom = 32;
    if (!top) return String(whole);
    while (top % 2 === 0) { top /= 2; bottom /= 2; }
    return (whole ? whole + " " : "") + top + "/" + bottom;
  }

  function difference(form, value) {
    var target = Number(form.dataset.target) / Number(form.dataset.perUnit);
    var off = value === null ? 0 : value - target;
    var said = writeValue(Math.abs(off), form);
    form.querySelector("[data-difference]").textContent =
      said === "0" || Number(said) === 0 ? "" : ", " + (off > 0 ? "+" : "\u2212") + said;
  }

  function step(event) {
    var button = event.target.closest("[data-check] [data-steps]");
    if (!button) return;
    var form = button.form, field = form.querySelector("[name=value]");
    var value = readValue(field.value, form);
    if (value === null && field.value.trim()) { field.focus(); return; }
    if (value === null) value = Number(form.dataset.target) / Number(form.dataset.perUnit);  // the plan, until something is read
    var size = Number(form.dataset.step) / Number(form.dataset.perUnit);
    value = Math.max(0, value + Number(button.dataset.steps) * size);
    field.value = writeValue(value, form);
    difference(form, readValue(field.value, form));
  }

  function typed(event) {
    var form = event.target.closest("[data-check]");
    if (!form || event.target.name !== "value") return;
    difference(form, readValue(event.target.value, form));
  }

  /* A piece of metal needs the shop's machine: better to say so here than to lose the page. */
  function needsSignal(event) {
    var link = event.target.closest("[data-needs-signal]");
    if (!link || navigator.onLine) return;
    event.preventDefault();
    var box = document.querySelector("[data-no-signal]");
    box.textContent = "Not without a signal: " + link.textContent.trim().toLowerCase() + " waits until the phone has one. Clock, readings, passes, notes and photos are kept.";
    box.hidden = false;
    box.scrollIntoView({ block: "nearest" });
  }

  /* Before app.js, which lets a form be sent once. */
  document.addEventListener("submit", press, true);
  document.addEventListener("click", step);
  document.addEventListener("click", needsSignal);
  document.addEventListener("input", typed);
  window.addEventListener("online", sendKept);
  document.addEventListener("visibilitychange", function () { if (!document.hidden) sendKept(); });
  setInterval(function () { if (kept().length) sendKept(); }, 30000);

  stepperReady();
  show();
  sendKept();
})();
