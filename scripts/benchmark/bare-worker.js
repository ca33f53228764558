import { loadPyodide } from "/pyodide.mjs";

try {
  const python = await loadPyodide();
  self.postMessage({ sum: python.runPython("1 + 1") });
} catch (error) {
  self.postMessage({ failed: error.message });
}
