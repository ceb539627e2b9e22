// What a hand needs that links and forms alone do not give. Every page works without it.
(function () {
  "use strict";
  var small = window.matchMedia("(max-width: 60rem)");
  // On a small screen the year strip and the key plan are pulled up when they are wanted.
  ["year-strip", "key-plan"].forEach(function (name) {
    var drawing = document.getElementById(name);
    if (drawing && small.matches) drawing.open = false;
  });
  // The chosen or present week comes into view on a strip that is wider than the screen.
  var strip = document.querySelector(".strip");
  if (strip) {
    var mark = strip.querySelector("[aria-current], .today");
    if (mark) {
      var at = mark.getBoundingClientRect(), box = strip.getBoundingClientRect();
      strip.scrollLeft += at.left - box.left - box.width / 3;
    }
  }
  // A form is sent once: a second press of a wet finger does nothing.
  document.addEventListener("submit", function (event) {
    var form = event.target;
    if (form.method !== "post") return;
    if (form.dataset.sent) { event.preventDefault(); return; }
    form.dataset.sent = "yes";
  });
  window.addEventListener("pageshow", function () {
    document.querySelectorAll("form[data-sent]").forEach(function (form) { delete form.dataset.sent; });
  });
}());
