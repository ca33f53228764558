// node pack.mjs NODE_MODULES PREPARED CALC OUTPUT
// Makes the set of files the page loads, from what prepare.mjs made and the folder of calc,
// and OUTPUT/manifest.json, which names them.
import { mkdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { hashOf, packed, writeForDisk, writeHashed } from "./files.mjs";
import { endWithReason, interpreterFacts, interpreterFolder, startPython } from "./python.mjs";
import { workerScript } from "./script.mjs";
import { makeSnapshot, tryOut } from "./snapshot.mjs";

async function pack(nodeModules, prepared, calc, output) {
  mkdirSync(output, { recursive: true });
  const { version, info } = interpreterFacts(nodeModules);
  const { library, data } = await packedLibrary(nodeModules, join(prepared, "library.zip"), calc);
  const wasm = readFileSync(join(interpreterFolder(nodeModules), "pyodide.asm.wasm"));
  // One set: the worker and the snapshot both know which machine and which library they belong to.
  const set = { wasm: hashOf(wasm), library: hashOf(library) };
  const snapshot = await triedSnapshot(nodeModules, library, data, set, output);
  const files = {
    worker: writeHashed(output, "worker", "js", workerScript(nodeModules, { wasmLength: wasm.length, info, set })),
    wasm: writeHashed(output, "python", "wasm.gz", readFileSync(join(prepared, "python.wasm.gz"))),
    snapshot: writeHashed(output, "python", "snapshot.gz", packed(snapshot)),
    stdlib: writeHashed(output, "python", "zip.gz", packed(library)),
  };
  writeForDisk(output, Object.values(files));
  writeFileSync(join(output, "manifest.json"), `${JSON.stringify({ version, ...files }, null, 2)}\n`);
}

async function packedLibrary(nodeModules, whole, calc) {
  const python = await startPython(nodeModules, { stdLibURL: whole });
  python.mountNodeFS("/calc", calc);
  for (const file of ["compiling.py", "pack.py"]) {
    python.runPython(readFileSync(new URL(file, import.meta.url), "utf8"));
  }
  python.globals.get("pack")("/calc", "/packed.zip", "/data.zip");
  return { library: python.FS.readFile("/packed.zip"), data: python.FS.readFile("/data.zip") };
}

// Made from the library as it is packed: a module left out stops the build here.
async function triedSnapshot(nodeModules, library, data, set, output) {
  const file = join(output, "library.zip");
  writeFileSync(file, library);
  const snapshot = await makeSnapshot(nodeModules, file, data, set);
  rmSync(file);
  await tryOut(nodeModules, snapshot);
  return snapshot;
}

pack(...process.argv.slice(2)).catch(endWithReason);
