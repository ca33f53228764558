// On paper a page says which version it is, of which day, and where it is found again with what was typed.
"use strict";

(() => {
  const line = document.querySelector(".printed");
  const version = line.textContent;
  window.addEventListener("beforeprint", () => {
    const day = new Date().toLocaleDateString("en-GB", { day: "numeric", month: "long", year: "numeric" });
    line.textContent = `${version}, printed on ${day}. ${window.location.href}`;
  });
})();
