/* What pages share that keep things on this phone until there is a signal: numbers, words and lines of their lists. */
window.Kept = (function () {
  "use strict";

  /* A number for a press, which the shop's machine takes once. */
  function newNumber() {
    var bytes = crypto.getRandomValues(new Uint8Array(16));
    bytes[6] = (bytes[6] & 15) | 64;
    bytes[8] = (bytes[8] & 63) | 128;
    var hex = Array.from(bytes, function (byte) { return byte.toString(16).padStart(2, "0"); }).join("");
    return [hex.slice(0, 8), hex.slice(8, 12), hex.slice(12, 16), hex.slice(16, 20), hex.slice(20)].join("-");
  }

  function timeOf(moment) {
    return new Date(moment).toLocaleTimeString([], { hour: "2-digit", minute: "2-digit", hour12: false });
  }

  function token() {
    var field = document.querySelector("[name=csrfmiddlewaretoken]");
    return field ? field.value : "";
  }

  /* Whether an answer says nothing about the entry itself: nobody is signed in, or the shop's machine is ill. */
  function laterPerhaps(answer) {
    return answer.url.indexOf("/sign-in/") !== -1 || answer.status === 403 || answer.status >= 500;
  }

  function refusalIn(text) {
    var page = new DOMParser().parseFromString(text, "text/html");
    var found = page.querySelector("[data-question-words], [data-refusal] .error, .field .error") || page.querySelector(".message-wrong, .form-errors");
    return found ? found.textContent.replace(/\s+/g, " ").replace("Mend this. ", "").trim() : "the shop's machine said no";
  }

  /* Whose they are, where not this person's. */
  function strangers(waiting, person) {
    var stranger = waiting.find(function (one) { return one.person !== person; });
    return stranger ? ". " + stranger.name + " has to sign in here to send theirs" : "";
  }

  /* One entry in the list, with the button that takes it away. */
  function line(one, what, drop) {
    var item = document.createElement("li"), words = document.createElement("span"), button = document.createElement("button");
    words.textContent = what + ", " + timeOf(one.at) + (one.refused ? ". Not taken: " + one.refused : "");
    button.type = "button";
    button.className = "link";
    button.textContent = one.refused ? "Put away" : "Take back";
    button.addEventListener("click", drop);
    item.append(words, " ", button);
    return item;
  }

  return { newNumber: newNumber, timeOf: timeOf, token: token, laterPerhaps: laterPerhaps, refusalIn: refusalIn, strangers: strangers, line: line };
})();
