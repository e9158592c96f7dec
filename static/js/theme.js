/* Loaded before the style sheets, so that a remembered theme never flashes. Without it the device decides. */
(function () {
  "use strict";
  try {
    var theme = localStorage.getItem("theme");
    if (theme === "paper" || theme === "night") document.documentElement.dataset.theme = theme;
  } catch (refused) { /* private browsing: follow the device */ }
})();
