// The in-page interpreter, which lies in `folder`, started in Node.js to prepare what the page will load.
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { pathToFileURL } from "node:url";

export function interpreterFacts(folder) {
  const { info } = JSON.parse(readFileSync(join(folder, "pyodide-lock.json"), "utf8"));
  return { info };
}

// With `stdLibURL` among the options, that library replaces the one the interpreter brings.
export async function startPython(folder, options = {}) {
  const { loadPyodide } = await import(pathToFileURL(join(folder, "pyodide.mjs")));
  const { info } = interpreterFacts(folder);
  return loadPyodide({ lockFileContents: { info, packages: {} }, ...options });
}

// The function by which the loader makes the machine.
export async function createModule(folder) {
  return (await import(pathToFileURL(join(folder, "pyodide.asm.mjs")))).default;
}

// One line on standard error: the source lines that Node.js prints with an error are a megabyte long here.
export function endWithReason(error) {
  const lines = String(error?.message ?? error).trim().split("\n");
  console.error(lines.map((line) => line.slice(0, 300)).slice(-12).join("\n"));
  process.exit(1);
}
