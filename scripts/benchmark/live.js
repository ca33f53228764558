// How long until the page's Python gives the first answer, and the longest that the page stood still
// meanwhile. A page of the site starts it by itself; an empty one is told to at once.
"use strict";

(() => {
  const { python } = Handbook;
  const here = new URL(document.currentScript.src);
  const told = here.searchParams.get("told");
  const request = here.searchParams.get("request");
  let begun = 0;
  let last = 0;
  let stall = 0;

  python.onchange(look);
  look();
  if (here.searchParams.has("start")) python.start();

  async function look() {
    if (python.state === "loading" && !begun) {
      begun = performance.now();
      last = begun;
      pulse();
    }
    if (python.state === "failed") report({ failed: python.detail });
    if (python.state !== "ready") return;
    await python.ask(request);
    report({ answered: performance.now(), begun, stall, facts: python.facts });
  }

  // Asks to be called again in a moment, and sees by how much it was late. Only from the start on: a
  // page that is never idle would start late.
  function pulse() {
    const now = performance.now();
    stall = Math.max(stall, now - last);
    last = now;
    if (python.state === "loading") window.setTimeout(pulse);
  }

  function report(found) {
    location.replace(`${told}?${encodeURIComponent(JSON.stringify(found))}`);
  }
})();
