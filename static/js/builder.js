/* After each change the server swaps the words under the fields and the drawings, never the fields themselves.
   This marks a field as wrong, or right again; a drawing that fits needs no stop on the way of the tab key; and where the
   page is narrower than the rule, rule and pattern are pulled together. */
(function () {
  "use strict";

  function markFields() {
    document.querySelectorAll(".builder .field").forEach(function (field) {
      var wrong = field.querySelector(".error") !== null;
      field.classList.toggle("field-wrong", wrong);
      field.querySelectorAll("input, select, textarea").forEach(function (input) {
        if (wrong) input.setAttribute("aria-invalid", "true");
        else input.removeAttribute("aria-invalid");
      });
    });
  }

  /* Told by the drawing itself when its room changes: in the same frame, whatever made it change. */
  var roomChanged = new ResizeObserver(function () { measureDrawings(); });

  function measureDrawings() {
    document.querySelectorAll(".builder .drawing-scroll").forEach(function (drawing) {
      roomChanged.observe(drawing);
      if (drawing.scrollWidth > drawing.clientWidth + 1) drawing.tabIndex = 0;
      else drawing.removeAttribute("tabindex");
    });
  }

  function pullTogether(event) {
    var pulled = event.target;
    if (!(pulled instanceof Element) || !pulled.matches(".rule-pull, [data-under-the-rule]")) return;
    document.querySelectorAll(".builder-body .rule-pull, [data-under-the-rule]").forEach(function (other) {
      if (other.scrollLeft !== pulled.scrollLeft) other.scrollLeft = pulled.scrollLeft;
    });
  }

  document.addEventListener("htmx:afterRequest", function () { markFields(); measureDrawings(); });
  document.addEventListener("scroll", pullTogether, true);
  measureDrawings();
})();
