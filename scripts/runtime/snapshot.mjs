// Makes the snapshot: imports everything once, here, and writes down what is then in memory.
import nodeCrypto from "node:crypto";
import { readFileSync } from "node:fs";
import { AFTER_RESTORING, MARK, restoring, snapshotFrom } from "./memory.mjs";
import { createModule, startPython } from "./python.mjs";

const PAGE = 65536;
// Zeroes are left out from so many on: fewer cost next to nothing once compressed.
const GAP = 4 * PAGE;

// Nothing of the machine that builds gets into it: neither its clock nor its random numbers,
// its language, the names of its folders, nor the order that hashes of its own would give. And
// what is compiled there has lines, but no columns.
const NEUTRAL = {
  env: { PYTHONHASHSEED: "0", LANG: "C.UTF-8", TZ: "UTC", PYTHONNODEBUGRANGES: "1" },
  _sysExecutable: "python",
};

export async function makeSnapshot(interpreter, library, files, belongsTo) {
  const asFresh = await freshMemory(interpreter, library);
  const { memory, objects } = await withFixedClock(() => finishedMemory(interpreter, library));
  const parts = changedParts(memory, asFresh);
  const header = { ...belongsTo, memoryLength: memory.length, objects, filesLength: files.length, parts };
  const headerBytes = new TextEncoder().encode(JSON.stringify(header));
  const length = new Uint8Array(Uint32Array.of(headerBytes.length).buffer);
  return Buffer.concat([
    Uint8Array.from(MARK), length, headerBytes, files, ...parts.map(([from, to]) => memory.subarray(from, to)),
  ]);
}

// Puts the snapshot back as a page does, and lets it answer. What lies in place of `library` is the snapshot's own.
export async function tryOut(interpreter, library, bytes) {
  const snapshot = snapshotFrom(bytes);
  const python = await startPython(interpreter, {
    ...restoring(snapshot, await createModule(interpreter)),
    stdLibURL: library,
    fsInit: (fs) => fs.writeFile("/lib/python314.zip", snapshot.files),
  });
  python.runPython(AFTER_RESTORING);
  python.runPython("from calc import browser\nbrowser.warm_up()");
}

// What the machine lays out itself before any Python runs.
async function freshMemory(interpreter, library) {
  const create = await createModule(interpreter);
  let memory;
  const enough = new Error("enough seen");
  const createPyodideModule = async (settings) => {
    const module = await create(settings);
    module.API.restoreSnapshot = () => {
      memory = module.HEAPU8.slice();
      throw enough;
    };
    return module;
  };
  await startPython(interpreter, { stdLibURL: library, _loadSnapshot: new Uint8Array(16), createPyodideModule })
    .catch((error) => { if (error !== enough) throw error; });
  return memory;
}

async function finishedMemory(interpreter, library) {
  const python = await startPython(interpreter, { ...NEUTRAL, stdLibURL: library, _makeSnapshot: true });
  python.runPython(readFileSync(new URL("snapshot.py", import.meta.url), "utf8"));
  // Once more: only now is what ran there gone itself.
  python.runPython("import gc; gc.collect()");
  clearWhatIsUnused(python._module);
  const written = python.makeMemorySnapshot();
  const [, start, objectsLength] = new Uint32Array(written.buffer, 0, 3);
  const objects = JSON.parse(new TextDecoder().decode(written.subarray(48, 48 + objectsLength)));
  return { memory: written.subarray(start), objects };
}

// Free memory and free stack still hold what once stood there: nothing but weight.
function clearWhatIsUnused(module) {
  const used = lastUsed(module.HEAPU8);
  const held = [];
  const sizes = [65536, 32768, 16384, 8192, 4096, 2048];
  for (let size = 1024; size > 0; size -= 16) sizes.push(size);
  for (const size of sizes) {
    for (;;) {
      const address = module._malloc(size);
      held.push(address);
      if (address + size >= used) break;
      module.HEAPU8.fill(0, address, address + size);
    }
  }
  for (const address of held) module._free(address);
  module.HEAPU8.fill(0, module._emscripten_stack_get_end(), module._emscripten_stack_get_current() - 1024);
}

function changedParts(memory, asFresh) {
  let first = 0;
  while (memory[first] === asFresh[first]) first += 1;
  const end = lastUsed(memory);
  const parts = [];
  for (let from = first - (first % PAGE); from < end;) {
    const to = startOfGap(memory, from, end);
    parts.push([from, to]);
    from = to;
    while (from < end && memory[from] === 0) from += 1;
  }
  return parts;
}

function startOfGap(memory, from, end) {
  let zeroes = 0;
  for (let at = from; at < end; at += 1) {
    zeroes = memory[at] === 0 ? zeroes + 1 : 0;
    if (zeroes === GAP) return at + 1 - GAP;
  }
  return end;
}

function lastUsed(memory) {
  let end = memory.length;
  while (end > 0 && memory[end - 1] === 0) end -= 1;
  return end;
}

// Two builds of the same sources give the same bytes.
async function withFixedClock(make) {
  const fixed = [
    [Date, "now", () => 1_600_000_000_000],
    [performance, "now", () => 1000],
    [Math, "random", () => 0.5],
    [nodeCrypto, "randomFillSync", (array) => array.fill(7)],
  ];
  const real = fixed.map(([owner, name]) => owner[name]);
  for (const [owner, name, value] of fixed) owner[name] = value;
  try {
    return await make();
  } finally {
    fixed.forEach(([owner, name], at) => { owner[name] = real[at]; });
  }
}
