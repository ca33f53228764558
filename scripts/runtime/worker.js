// The worker that holds the interpreter. Everything before this line is the interpreter, its
// loader and memory.mjs; FACTS are what the build knows about them.
//
// page -> worker   {type: "boot", files}: the addresses of `wasm`, `snapshot` and `stdlib`
//                  {type: "file", url, content}: gzip as a buffer, or as base64; the snapshot may
//                  come inflated, and `wasm` as {machine, length}, compiled and how long it was
//                  {type: "no-file", url, reason, detail}
//                  {type: "ask", id, request}
// worker -> page   {type: "want", url}: one more file is needed
//                  {type: "progress", stage}: still at it
//                  {type: "ready", python, milliseconds, steps, setback}
//                  {type: "failed", reason, detail}: for good
//                  {type: "answer", id, response, milliseconds}
//                  {type: "failed-ask", id, detail, trace}
"use strict";

(() => {
  const GZIP = [0x1f, 0x8b];
  const WASM = [0x00, 0x61, 0x73, 0x6d];
  const ZIP = [0x50, 0x4b, 0x03, 0x04];

  // The page brings all files. Nothing in this worker has a way to any host.
  const WAYS_OUT = [
    "fetch", "XMLHttpRequest", "WebSocket", "WebSocketStream", "WebTransport", "EventSource",
    "Worker", "SharedWorker", "BroadcastChannel", "caches",
  ];
  for (let owner = self; owner; owner = Object.getPrototypeOf(owner)) {
    for (const way of WAYS_OUT) {
      if (Object.hasOwn(owner, way)) Object.defineProperty(owner, way, { value: undefined, writable: true });
    }
  }

  const arrivals = new Map();
  const steps = {};
  let answer;
  let PythonError;

  class Trouble extends Error {
    constructor(reason, detail) {
      super(detail);
      this.reason = reason;
    }
  }

  self.onmessage = ({ data }) => {
    if (data.type === "boot") boot(data);
    if (data.type === "ask") ask(data);
    if (data.type === "file") arrival(data.url).resolve(data.content);
    if (data.type === "no-file") arrival(data.url).reject(new Trouble(data.reason, data.detail));
  };

  async function boot({ files }) {
    try {
      const { python, setback } = await startedPython(files);
      PythonError = python.ffi.PythonError;
      answer = python.pyimport("calc.browser").answer;
      self.postMessage({ type: "ready", python: FACTS.info.python, milliseconds: Math.round(performance.now()), steps, setback });
    } catch (error) {
      self.postMessage({ type: "failed", reason: error.reason ?? "start", detail: lastLine(error) });
    }
  }

  // From the snapshot; where that cannot be, from the library, and `setback` tells why.
  async function startedPython(files) {
    let setback = null;
    const without = (error) => {
      setback = { reason: error.reason ?? "restore", detail: lastLine(error) };
      return null;
    };
    const machine = timed("machine", loadMachine(files.wasm));
    const snapshot = timed("snapshot", loadSnapshot(files.snapshot)).catch(without);
    const library = snapshot.then((whole) => whole ? whole.files : loadLibrary(files.stdlib));
    // It prepares what needs none of them while they come, and starts with the library where no snapshot came.
    const begun = makeInterpreter(machine, library, restoring(snapshot, _createPyodideModule));
    begun.catch(() => {});
    await Promise.allSettled([machine, library]);
    if (!setback) {
      progress("restore");
      const restored = await timed("restore", begun.then(afterRestoring)).catch(without);
      if (restored) return { python: restored, setback };
    }
    progress("start");
    // What a snapshot was put back into is of no more use.
    const plain = { createPyodideModule: _createPyodideModule };
    const started = (await snapshot) ? makeInterpreter(await machine, await loadLibrary(files.stdlib), plain) : begun;
    const python = await timed("start", started);
    progress("import");
    await timed("import", python.runPythonAsync("import calc.browser"));
    return { python, setback };
  }

  function afterRestoring(python) {
    python.runPython(AFTER_RESTORING);
    return python;
  }

  async function loadLibrary(url) {
    self.postMessage({ type: "want", url });
    return timed("library", inflated(url, ZIP));
  }

  // The one place that knows how an interpreter comes to be. Its machine and its library may be
  // still to come; it is rejected with what keeps one of them away.
  function makeInterpreter(machine, library, how) {
    return new Promise((resolve, reject) => {
      const both = Promise.all([machine, library]);
      // The loader fetches its library and instantiates its machine by these two. It would wait
      // for ever if one of them failed, so the failure goes past it.
      self.fetch = async () => new Response((await both.catch(() => []))[1]);
      WebAssembly.instantiateStreaming = async (_, imports) => {
        try {
          const [module] = await both;
          return { module, instance: await WebAssembly.instantiate(module, imports) };
        } catch (error) {
          reject(error);
          return new Promise(() => {});
        }
      };
      const here = self.location.href;
      const options = {
        indexURL: here,
        packageBaseUrl: here,
        stdLibURL: here,
        lockFileContents: { info: FACTS.info, packages: {} },
        ...how,
      };
      loadPyodide(options).then(resolve, reject).finally(() => { self.fetch = undefined; });
    });
  }

  async function loadMachine(url) {
    const content = await arrival(url).promise;
    if (content.machine) {
      assertLength(content.length, fileName(url));
      return content.machine;
    }
    try {
      return await compiledOnTheWay(await arrived(url));
    } catch (error) {
      if (error instanceof Trouble) throw error;
      // One step after the other tells which one fails.
      return compiledAtLast(await inflated(url, WASM), fileName(url));
    }
  }

  function assertLength(length, name) {
    if (length !== FACTS.wasmLength) throw new Trouble("corrupt", `${name} holds ${length} bytes instead of ${FACTS.wasmLength}`);
  }

  // Compiles what is unpacked while the rest still is, in half the time.
  async function compiledOnTheWay(bytes) {
    let length = 0;
    const counting = new TransformStream({
      transform(chunk, controller) {
        length += chunk.length;
        controller.enqueue(chunk);
      },
    });
    const unpacked = new Response(bytes).body.pipeThrough(new DecompressionStream("gzip")).pipeThrough(counting);
    const machine = await WebAssembly.compileStreaming(new Response(unpacked, { headers: { "Content-Type": "application/wasm" } }));
    if (length !== FACTS.wasmLength) throw new Error("not this one");
    return machine;
  }

  async function compiledAtLast(bytes, name) {
    assertLength(bytes.length, name);
    try {
      return await WebAssembly.compile(bytes);
    } catch (error) {
      throw new Trouble("old-browser", `this browser cannot run ${name}: ${lastLine(error)}`);
    }
  }

  async function loadSnapshot(url) {
    const bytes = await inflated(url, MARK);
    let snapshot;
    try {
      snapshot = snapshotFrom(bytes);
    } catch (error) {
      throw new Trouble("corrupt", `${fileName(url)} is damaged: ${lastLine(error)}`);
    }
    for (const [part, hash] of Object.entries(FACTS.set)) {
      if (snapshot[part] !== hash) throw new Trouble("another-version", `${fileName(url)} belongs to another version of the ${part}`);
    }
    return snapshot;
  }

  // What the gzip file at `url` holds, which must start with `first`. Some hosts inflate such
  // files on the way; then there is nothing left to do.
  async function inflated(url, first) {
    const bytes = await arrived(url);
    if (startsWith(bytes, first)) return bytes;
    if (!startsWith(bytes, GZIP)) {
      throw new Trouble("corrupt", `${fileName(url)} is something else: it starts with ${start(bytes)}`);
    }
    if (typeof DecompressionStream !== "function") throw new Trouble("old-browser", "this browser cannot unpack gzip");
    let content;
    try {
      // Not Blob.stream(), which one engine refuses to read in a worker of a page opened from disk.
      const unpacked = new Response(bytes).body.pipeThrough(new DecompressionStream("gzip"));
      content = new Uint8Array(await new Response(unpacked).arrayBuffer());
    } catch {
      throw new Trouble("corrupt", `${fileName(url)} cannot be unpacked: it is damaged or not all there`);
    }
    if (!startsWith(content, first)) {
      throw new Trouble("corrupt", `${fileName(url)} holds something else: it starts with ${start(content)}`);
    }
    return content;
  }

  async function arrived(url) {
    const content = await arrival(url).promise;
    progress("unpack");
    if (typeof content !== "string") return new Uint8Array(content);
    try {
      if (Uint8Array.fromBase64) return Uint8Array.fromBase64(content);
      const letters = atob(content);
      const bytes = new Uint8Array(letters.length);
      for (let at = 0; at < bytes.length; at += 1) bytes[at] = letters.charCodeAt(at);
      return bytes;
    } catch (error) {
      throw new Trouble("corrupt", `${fileName(url)} is damaged: ${lastLine(error)}`);
    }
  }

  function arrival(url) {
    if (!arrivals.has(url)) {
      const each = {};
      each.promise = new Promise((resolve, reject) => Object.assign(each, { resolve, reject }));
      arrivals.set(url, each);
    }
    return arrivals.get(url);
  }

  function startsWith(bytes, first) {
    return first.every((byte, at) => bytes[at] === byte);
  }

  function start(bytes) {
    return bytes.length ? JSON.stringify(String.fromCharCode(...bytes.subarray(0, 16))) : "nothing";
  }

  function ask({ id, request }) {
    try {
      const before = performance.now();
      const response = answer(request);
      self.postMessage({ type: "answer", id, response, milliseconds: performance.now() - before });
    } catch (error) {
      self.postMessage({ type: "failed-ask", id, detail: lastLine(error), trace: String(error.message) });
      // Anything but a Python exception leaves an interpreter that cannot be asked again.
      if (!(error instanceof PythonError)) {
        self.postMessage({ type: "failed", reason: "crashed", detail: lastLine(error) });
      }
    }
  }

  function lastLine(error) {
    return String(error?.message ?? error).trim().split("\n").pop();
  }

  function fileName(url) {
    return url.slice(url.lastIndexOf("/") + 1);
  }

  async function timed(step, work) {
    const before = performance.now();
    const result = await work;
    steps[step] = Math.round(performance.now() - before);
    return result;
  }

  function progress(stage) {
    self.postMessage({ type: "progress", stage });
  }
})();
