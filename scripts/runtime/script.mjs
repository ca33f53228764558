// The worker as one classic script: interpreter, its loader, and our own part.
// Only a script that is all in one runs from a blob in every engine, from a server and from disk.
import { readFileSync } from "node:fs";
import { join } from "node:path";

export function workerScript(folder, facts) {
  const loader = withoutAddress(readFileSync(join(folder, "pyodide.js"), "utf8"));
  const machine = readFileSync(join(folder, "pyodide.asm.mjs"), "utf8");
  const memory = readFileSync(new URL("memory.mjs", import.meta.url), "utf8");
  const ours = readFileSync(new URL("worker.js", import.meta.url), "utf8");
  return [
    // The loader refuses classic workers, which it knows by this function.
    "self.importScripts = undefined;",
    replaced(loader, "//# sourceMappingURL=pyodide.js.map", "", 1),
    classic(machine),
    `const FACTS = ${JSON.stringify(facts)};`,
    replaced(memory, /\nexport \{.*\};/, "", 1),
    ours,
  ].join("\n");
}

// The loader knows where its makers publish packages. Nothing is ever to come from there.
function withoutAddress(source) {
  return replaced(source, /`https:[^`]*`/, '""', 1);
}

// An ES module without its two module-only features. Its one function, all of a megabyte, stands in
// brackets: a browser that meets a function in brackets compiles it at once, where it would otherwise
// read it through twice, first for its end and then for its content.
export function classic(source) {
  const start = replaced(source, "async function _createPyodideModule(", "const _createPyodideModule = (async function (", 1);
  const script = replaced(start, "export default _createPyodideModule;", ");", 1);
  return replaced(script, "import.meta.url", "self.location.href", 3);
}

export function replaced(text, old, fresh, count) {
  const parts = text.split(old);
  const found = parts.length - 1;
  if (found !== count) {
    throw new Error(`${old} occurs ${found} times in the interpreter instead of ${count}: read what changed`);
  }
  return parts.join(fresh);
}
