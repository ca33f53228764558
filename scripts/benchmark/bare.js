// What any page does that takes the interpreter as it comes and does not want to stand still meanwhile.
"use strict";

(() => {
  const worker = new Worker("/bare-worker.js", { type: "module" });
  worker.onmessage = ({ data }) => report(data.failed ? data : { answered: performance.now() });
  worker.onerror = ({ message }) => report({ failed: message });

  function report(found) {
    location.replace(`/told?${encodeURIComponent(JSON.stringify(found))}`);
  }
})();
