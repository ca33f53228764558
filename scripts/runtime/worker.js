// The worker that holds the interpreter. Everything before this line is the interpreter and
// its loader; FACTS are what the build knows about them.
//
// page -> worker   {type: "boot", wasm: URL, stdlib: URL}, then {type: "ask", id, request}
// worker -> page   {type: "progress", stage}: still at it
//                  {type: "ready", python, milliseconds}
//                  {type: "failed", reason, detail}: for good
//                  {type: "answer", id, response} or {type: "failed-ask", id, detail, trace}
"use strict";

(() => {
  const GZIP = [0x1f, 0x8b];
  const WASM = [0x00, 0x61, 0x73, 0x6d];
  const ZIP = [0x50, 0x4b, 0x03, 0x04];

  const fetchFile = self.fetch.bind(self);
  // Once its two files are here, nothing in this worker has a way to any host.
  const waysOut = ["fetch", "XMLHttpRequest", "WebSocket", "WebSocketStream", "WebTransport", "EventSource", "Worker"];
  for (const way of waysOut) self[way] = undefined;

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
  };

  async function boot({ wasm, stdlib }) {
    const started = performance.now();
    try {
      const [machine, library] = await Promise.all([loadMachine(wasm), loadLibrary(stdlib)]);
      progress("start");
      const python = await makeInterpreter(machine, library);
      progress("import");
      PythonError = python.ffi.PythonError;
      answer = python.pyimport("calc.browser").answer;
      const milliseconds = Math.round(performance.now() - started);
      self.postMessage({ type: "ready", python: python.runPython("import sys; sys.version.split()[0]"), milliseconds });
    } catch (error) {
      self.postMessage({ type: "failed", reason: error.reason ?? "start", detail: lastLine(error) });
    }
  }

  // The one place that knows how an interpreter comes to be.
  function makeInterpreter(machine, library) {
    return new Promise((resolve, reject) => {
      // The loader fetches its library and instantiates its machine by these two. It would wait
      // for ever if instantiating failed, so the failure goes past it.
      self.fetch = async () => new Response(library);
      WebAssembly.instantiateStreaming = async (_, imports) => {
        try {
          return { module: machine, instance: await WebAssembly.instantiate(machine, imports) };
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
        createPyodideModule: _createPyodideModule,
      };
      loadPyodide(options).then(resolve, reject).finally(() => { self.fetch = undefined; });
    });
  }

  async function loadMachine(url) {
    const name = fileName(url);
    const bytes = await inflated(await download(url), WASM, name);
    if (bytes.length !== FACTS.wasmLength) {
      throw new Trouble("corrupt", `${name} holds ${bytes.length} bytes instead of ${FACTS.wasmLength}`);
    }
    try {
      return await WebAssembly.compile(bytes);
    } catch (error) {
      throw new Trouble("old-browser", `this browser cannot run ${name}: ${lastLine(error)}`);
    }
  }

  async function loadLibrary(url) {
    return inflated(await download(url), ZIP, fileName(url));
  }

  async function download(url) {
    const name = fileName(url);
    if (new URL(url).origin !== self.origin) throw new Trouble("download", `${name} lies on another host`);
    const chunks = [];
    let response;
    try {
      response = await fetchFile(url);
      const reader = response.body.getReader();
      for (let part = await reader.read(); !part.done; part = await reader.read()) {
        chunks.push(part.value);
        progress("download");
      }
    } catch (error) {
      throw new Trouble("download", `${name} did not arrive: ${lastLine(error)}`);
    }
    if (!response.ok) throw new Trouble("download", `${name} did not arrive: the server answered ${response.status}`);
    return new Uint8Array(await new Blob(chunks).arrayBuffer());
  }

  // The content of a gzip file, which must start with `first`. Some hosts inflate such files
  // on the way; then there is nothing left to do.
  async function inflated(bytes, first, name) {
    if (startsWith(bytes, first)) return bytes;
    if (!startsWith(bytes, GZIP)) {
      throw new Trouble("corrupt", `${name} is something else: it starts with ${start(bytes)}`);
    }
    if (typeof DecompressionStream !== "function") throw new Trouble("old-browser", "this browser cannot unpack gzip");
    let content;
    try {
      // Not Blob.stream(), which one engine refuses to read in a worker of a page opened from disk.
      const unpacked = new Response(bytes).body.pipeThrough(new DecompressionStream("gzip"));
      content = new Uint8Array(await new Response(unpacked).arrayBuffer());
    } catch {
      throw new Trouble("corrupt", `${name} cannot be unpacked: it is damaged or not all there`);
    }
    if (!startsWith(content, first)) {
      throw new Trouble("corrupt", `${name} holds something else: it starts with ${start(content)}`);
    }
    return content;
  }

  function startsWith(bytes, first) {
    return first.every((byte, at) => bytes[at] === byte);
  }

  function start(bytes) {
    return bytes.length ? JSON.stringify(String.fromCharCode(...bytes.subarray(0, 16))) : "nothing";
  }

  function ask({ id, request }) {
    try {
      self.postMessage({ type: "answer", id, response: answer(request) });
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

  function progress(stage) {
    self.postMessage({ type: "progress", stage });
  }
})();
