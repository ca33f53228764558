// A snapshot: the memory of an interpreter that has imported everything, written down and put back.
// Node.js writes it; the worker contains this file too, so both put it back in the same way.
//
// It holds MARK, the length of the header in 32 bits, the header as JSON, the files and the parts.
// Memory below the first part is as the machine lays it out itself; between the parts it is zero.
const MARK = [0x48, 0x42, 0x53, 0x31];

function snapshotFrom(bytes) {
  const view = new DataView(bytes.buffer, bytes.byteOffset);
  const headerStart = MARK.length + 4;
  const filesStart = headerStart + view.getUint32(MARK.length, true);
  const header = JSON.parse(new TextDecoder().decode(bytes.subarray(headerStart, filesStart)));
  let at = filesStart + header.filesLength;
  const files = bytes.subarray(filesStart, at);
  const parts = header.parts.map(([from, to]) => ({ from, bytes: bytes.subarray(at, at += to - from) }));
  if (at !== bytes.length) throw new Error(`it holds ${bytes.length} bytes instead of ${at}`);
  return { ...header, files, parts };
}

// What makes the loader put `snapshot`, which may be still to come, back where it would otherwise start Python. If it
// comes to null, Python is started: it has to be known before the machine and the library are there.
function restoring(snapshot, createModule) {
  let whole = null;
  const known = Promise.resolve(snapshot).then((found) => { whole = found; });
  return {
    // The loader only asks whether there is something.
    _loadSnapshot: new Uint8Array(16),
    createPyodideModule: async (settings) => {
      // The machine looks at this only once it is there.
      settings.onRuntimeInitialized = () => { settings.noInitialRun = Boolean(whole); };
      const module = await createModule(settings);
      await known;
      module.API.restoreSnapshot = () => whole ? putBack(module, whole) : undefined;
      return module;
    },
  };
}

function putBack(module, { memoryLength, objects, parts }) {
  if (module.HEAPU8.length < memoryLength && !module.growMemory(memoryLength)) {
    throw new Error(`there are no ${Math.ceil(memoryLength / 2 ** 20)} MB of memory for it`);
  }
  // Asked for anew: growing replaces it.
  const memory = module.HEAPU8;
  memory.fill(0, parts[0].from);
  for (const { from, bytes } of parts) memory.set(bytes, from);
  return objects;
}

// Python run after that: two readers must not draw the same random numbers.
const AFTER_RESTORING = "import sys; 'random' in sys.modules and sys.modules['random'].seed()";

export { AFTER_RESTORING, MARK, restoring, snapshotFrom };
