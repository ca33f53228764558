// node pack.mjs NODE_MODULES PREPARED CALC OUTPUT
// Makes the set of files the page loads, from what prepare.mjs made and the folder of calc,
// and OUTPUT/manifest.json, which names them.
import { mkdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { packed, writeHashed } from "./files.mjs";
import { endWithReason, interpreterFacts, interpreterFolder, startPython } from "./python.mjs";
import { workerScript } from "./script.mjs";

async function pack(nodeModules, prepared, calc, output) {
  mkdirSync(output, { recursive: true });
  const library = await packedLibrary(nodeModules, join(prepared, "library.zip"), calc);
  await tryOut(nodeModules, library, output);

  const { version, info } = interpreterFacts(nodeModules);
  const wasm = readFileSync(join(interpreterFolder(nodeModules), "pyodide.asm.wasm"));
  const script = workerScript(nodeModules, { wasmLength: wasm.length, info });
  const manifest = {
    version,
    worker: writeHashed(output, "worker", "js", script),
    wasm: writeHashed(output, "python", "wasm.gz", readFileSync(join(prepared, "python.wasm.gz"))),
    stdlib: writeHashed(output, "python", "zip.gz", packed(library)),
  };
  writeFileSync(join(output, "manifest.json"), `${JSON.stringify(manifest, null, 2)}\n`);
}

async function packedLibrary(nodeModules, whole, calc) {
  const python = await startPython(nodeModules, whole);
  python.mountNodeFS("/calc", calc);
  for (const file of ["compiling.py", "pack.py"]) {
    python.runPython(readFileSync(new URL(file, import.meta.url), "utf8"));
  }
  python.globals.get("pack")("/calc", "/packed.zip");
  return python.FS.readFile("/packed.zip");
}

// A module left out would otherwise be noticed only by a reader.
async function tryOut(nodeModules, library, output) {
  const file = join(output, "library.zip");
  writeFileSync(file, library);
  const python = await startPython(nodeModules, file);
  python.runPython("from calc import browser\nbrowser.warm_up()");
  rmSync(file);
}

pack(...process.argv.slice(2)).catch(endWithReason);
