/* Small enhancements. Every page works without them. */
(function () {
  "use strict";

  /* Paper, night, or as the device: remembered on this device only. */
  function chosenTheme() { return document.documentElement.dataset.theme || ""; }

  function showTheme() {
    document.querySelectorAll("[data-theme-switch]").forEach(function (group) {
      group.hidden = false;
      group.querySelectorAll("[data-theme-set]").forEach(function (button) {
        button.setAttribute("aria-pressed", String(button.dataset.themeSet === chosenTheme()));
      });
    });
  }

  function setTheme(theme) {
    if (theme) document.documentElement.dataset.theme = theme;
    else delete document.documentElement.dataset.theme;
    try {
      if (theme) localStorage.setItem("theme", theme);
      else localStorage.removeItem("theme");
    } catch (refused) { /* private browsing: it holds for this page */ }
    showTheme();
  }

  /* Clocks: "1:42", and seconds and minute ticks where a page shows them. */
  function two(number) { return String(number).padStart(2, "0"); }

  function tickClocks() {
    document.querySelectorAll("[data-clock]").forEach(function (clock) {
      var seconds = Math.max(0, Math.floor((Date.now() - Date.parse(clock.dataset.clock)) / 1000));
      if (Number.isNaN(seconds)) return;
      var minutes = Math.floor(seconds / 60);
      var time = Math.floor(minutes / 60) + ":" + two(minutes % 60);
      if (clock.firstChild && clock.firstChild.nodeType === Node.TEXT_NODE) {
        if (clock.firstChild.nodeValue !== time) clock.firstChild.nodeValue = time;
      } else clock.prepend(time);
      var rest = clock.querySelector("[data-clock-seconds]");
      if (rest) rest.textContent = ":" + two(seconds % 60);
    });
    document.querySelectorAll("[data-clock-ticks]").forEach(function (ruler) {
      var gone = Math.floor((Date.now() - Date.parse(ruler.dataset.clockTicks)) / 60000) % 60;
      ruler.querySelectorAll("[data-minute]").forEach(function (tick) {
        tick.classList.toggle("gone", Number(tick.dataset.minute) <= gone);
      });
    });
  }

  /* Messages can be put away once read. */
  function offerDismissal(root) {
    root.querySelectorAll(".message:not(:has(.message-close))").forEach(function (message) {
      var button = document.createElement("button");
      button.type = "button";
      button.className = "link message-close";
      button.textContent = "Put away";
      button.addEventListener("click", function () { message.remove(); });
      message.append(button);
    });
  }

  /* A form whose choice changes the page may hide its own "Show" button. */
  function hideSpareButtons(root) {
    root.querySelectorAll("[data-spare]").forEach(function (button) { button.hidden = true; });
  }

  /* Tick boxes and choices that submit the form they are in. */
  function submitOnChange(event) {
    var field = event.target.closest("[data-submits]");
    if (field && field.form) field.form.requestSubmit();
  }

  /* Pressed once is enough: a second press of the same button sends nothing. */
  function sendOnce(event) {
    var form = event.target;
    if (event.defaultPrevented || !(form instanceof HTMLFormElement) || form.method !== "post") return;
    if (form.dataset.sent) { event.preventDefault(); return; }
    form.dataset.sent = "yes";
  }

  /* A rule that fits needs no stop on the way of the tab key. */
  function measureRules() {
    document.querySelectorAll(".rule-pull").forEach(function (rule) {
      if (rule.scrollWidth > rule.clientWidth + 1) rule.tabIndex = 0;
      else rule.removeAttribute("tabindex");
    });
  }

  /* An address copied in one press; where the browser refuses, it stands selected to be copied by hand. */
  function copyLink(event) {
    var button = event.target.closest("[data-copy]");
    if (!button) return;
    var field = document.getElementById(button.dataset.copy);
    var said = document.querySelector('[data-copied="' + button.dataset.copy + '"]');
    field.select();
    var done = function () { said.textContent = "Copied."; };
    var byHand = function () { said.textContent = "Selected: copy it now."; };
    if (navigator.clipboard) navigator.clipboard.writeText(field.value).then(done, byHand);
    else byHand();
  }

  function offerCopying(root) {
    root.querySelectorAll("[data-copy]").forEach(function (button) { button.hidden = false; });
  }

  function print(event) {
    if (event.target.closest("[data-print]")) window.print();
  }

  document.addEventListener("click", function (event) {
    var button = event.target.closest("[data-theme-set]");
    if (button) setTheme(button.dataset.themeSet);
    print(event);
    copyLink(event);
  });
  document.addEventListener("change", submitOnChange);
  document.addEventListener("submit", sendOnce);
  /* Back from the next page: the form may be sent again. */
  window.addEventListener("pageshow", function () {
    document.querySelectorAll("form[data-sent]").forEach(function (form) { delete form.dataset.sent; });
  });
  document.addEventListener("htmx:afterSwap", function (event) {
    offerDismissal(event.target.parentNode || document);
    hideSpareButtons(event.target.parentNode || document);
    tickClocks();
  });

  showTheme();
  tickClocks();
  measureRules();
  window.addEventListener("resize", measureRules);
  offerDismissal(document);
  hideSpareButtons(document);
  offerCopying(document);
  setInterval(tickClocks, 1000);
})();
