// What any page does that takes the interpreter as it comes.
"use strict";

(async () => {
  const found = {};
  try {
    const python = await loadPyodide();
    if (python.runPython("1 + 1") !== 2) throw new Error("it cannot add");
    found.answered = performance.now();
  } catch (error) {
    found.failed = error.message;
  }
  location.replace(`/told?${encodeURIComponent(JSON.stringify(found))}`);
})();
