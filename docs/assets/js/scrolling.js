// A table wider than the screen is scrolled within its frame. With the keyboard that takes a frame
// that can be focused; one that fits is left out of the way. The theme puts a frame around most
// tables, forms bring new ones, folds open and screens turn: so it is looked at again and again.
"use strict";

(() => {
  let waiting = false;

  function look() {
    waiting = false;
    for (const frame of document.querySelectorAll(".md-typeset__scrollwrap, .md-typeset .scroll")) {
      if (frame.scrollWidth > frame.clientWidth) {
        frame.tabIndex = 0;
        frame.setAttribute("role", "group");
        frame.setAttribute("aria-label", frame.querySelector("caption")?.textContent || "Table, wider than the screen");
      } else {
        for (const name of ["tabindex", "role", "aria-label"]) frame.removeAttribute(name);
      }
    }
  }

  function lookSoon() {
    if (!waiting) window.requestAnimationFrame(look);
    waiting = true;
  }

  new MutationObserver(lookSoon).observe(document.querySelector("main"), { childList: true, subtree: true });
  document.addEventListener("toggle", lookSoon, true);
  window.addEventListener("resize", lookSoon);
  window.addEventListener("load", lookSoon);
})();
