/* The builder swaps the words under a field but never the field: this marks the field as wrong, or right again.
   And where the page is narrower than the rule, rule and pattern are pulled together. */
(function () {
  "use strict";

  document.addEventListener("htmx:oobAfterSwap", function (event) {
    var words = event.target;
    if (!(words instanceof Element) || !words.classList.contains("field-words")) return;
    var field = words.closest(".field"), wrong = words.querySelector(".error") !== null;
    field.classList.toggle("field-wrong", wrong);
    field.querySelectorAll("input, select, textarea").forEach(function (input) {
      if (wrong) input.setAttribute("aria-invalid", "true");
      else input.removeAttribute("aria-invalid");
    });
  });

  document.addEventListener("scroll", function (event) {
    var pulled = event.target;
    if (!(pulled instanceof Element) || !pulled.matches(".rule-pull, [data-under-the-rule]")) return;
    document.querySelectorAll(".builder-body .rule-pull, [data-under-the-rule]").forEach(function (other) {
      if (other !== pulled && other.scrollLeft !== pulled.scrollLeft) other.scrollLeft = pulled.scrollLeft;
    });
  }, true);
})();
