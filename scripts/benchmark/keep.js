// Presses the button that keeps the handbook on the device, and tells when all of it is there.
"use strict";

(() => {
  const told = new URL(document.currentScript.src).searchParams.get("told");
  const panel = document.getElementById("offline");
  const watching = new MutationObserver(look);
  watching.observe(panel, { childList: true, subtree: true, characterData: true });
  look();

  async function look() {
    const words = panel.querySelector("[data-part=words]").textContent;
    const button = [...panel.querySelectorAll("button")].find((each) => each.textContent === "Keep it on this device");
    if (button) button.click();
    if (/needs no network/.test(words)) {
      watching.disconnect();
      // Its worker serves from the next page on.
      await navigator.serviceWorker.ready;
      report({ kept: words });
    }
    if (/no room|refused|does not keep/.test(words)) report({ failed: words });
  }

  function report(found) {
    location.replace(`${told}?${encodeURIComponent(JSON.stringify(found))}`);
  }
})();
