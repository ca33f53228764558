// node pack.mjs PREPARED CALC OUTPUT
// Makes what the page loads besides the machine, from what prepare.mjs made and the folder of calc:
// worker.js, python.snapshot and python.zip.
import { createHash } from "node:crypto";
import { mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { endWithReason, interpreterFacts, startPython } from "./python.mjs";
import { workerScript } from "./script.mjs";
import { makeSnapshot, tryOut } from "./snapshot.mjs";

// Tracebacks tell lines, not columns, which would make every code object a tenth larger.
const LINES_ONLY = { PYTHONNODEBUGRANGES: "1" };

async function pack(prepared, calc, output) {
  mkdirSync(output, { recursive: true });
  const interpreter = join(prepared, "interpreter");
  const { info } = interpreterFacts(interpreter);
  const { library, data } = await packedLibrary(interpreter, join(prepared, "library.zip"), calc);
  const wasm = readFileSync(join(interpreter, "pyodide.asm.wasm"));
  // One set: the worker and the snapshot both know which machine and which library they belong to.
  const set = { wasm: hashOf(wasm), library: hashOf(library) };
  const file = join(output, "python.zip");
  writeFileSync(file, library);
  // Made from the library as it is packed: a module left out stops the build here.
  const snapshot = await makeSnapshot(interpreter, file, data, set);
  await tryOut(interpreter, file, snapshot);
  writeFileSync(join(output, "python.snapshot"), snapshot);
  writeFileSync(join(output, "worker.js"), workerScript(interpreter, { wasmLength: wasm.length, info, set }));
}

function hashOf(bytes) {
  return createHash("sha256").update(bytes).digest("hex").slice(0, 16);
}

async function packedLibrary(interpreter, whole, calc) {
  const python = await startPython(interpreter, { stdLibURL: whole, env: LINES_ONLY });
  python.mountNodeFS("/calc", calc);
  for (const file of ["compiling.py", "pack.py"]) {
    python.runPython(readFileSync(new URL(file, import.meta.url), "utf8"));
  }
  python.globals.get("pack")("/calc", "/packed.zip", "/data.zip");
  return { library: python.FS.readFile("/packed.zip"), data: python.FS.readFile("/data.zip") };
}

pack(...process.argv.slice(2)).catch(endWithReason);
