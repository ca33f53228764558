// The page's side of the in-page Python: starts it, asks it, and says how it stands.
// Knows no calculator, field or formula; a request and its response are strings.
//
//   Handbook.python.state      "idle" | "loading" | "ready" | "failed"
//   Handbook.python.reason     why it failed: "no-webassembly", "no-worker", "old-browser",
//                              "download", "corrupt", "start", "timeout" or "crashed"
//   Handbook.python.detail     the same in words, naming the file where there is one
//   Handbook.python.facts      when ready: {python, milliseconds, steps, setback}; milliseconds since
//                              the worker began, in all and by step; setback is null, or the
//                              {reason, detail} for which it took the slower way, without snapshot:
//                              "download", "corrupt", "another-version" or "restore"
//   Handbook.python.spent      milliseconds that Python took for the latest answer
//   Handbook.python.start()    begins loading, once
//   Handbook.python.ask(text)  a promise of the response; starts what is not started, waits, and
//                              is rejected with an Error that has `reason` and, for a Python
//                              exception, `trace`
//   Handbook.python.take(name, base64)  is called by the scripts that carry files from disk
//   Handbook.python.onchange(callback)  calls back at every change of state
"use strict";

window.Handbook = window.Handbook || {};

window.Handbook.python = (() => {
  // Nothing at all heard from the worker for so long means that it is stuck.
  const PATIENCE = 15000;
  const FIRST_WORDS = "self.importScripts";
  // What short-lived workers do to a file while it is still coming, piece by piece; null ends it. What they
  // cannot do they leave as it is: the first worker finds out what is wrong with it.
  const PIECES = `const gzip = new DecompressionStream("gzip");
    const pieces = gzip.writable.getWriter();
    onmessage = ({ data }) => (data ? pieces.write(data) : pieces.close()).catch(() => {});`;
  const INFLATE = `${PIECES}
    new Response(gzip.readable).arrayBuffer().then((content) => postMessage(content, [content]), () => postMessage(null));`;
  const COMPILE = `${PIECES}
    let length = 0;
    const counting = new TransformStream({
      transform(chunk, controller) {
        length += chunk.length;
        controller.enqueue(chunk);
      },
    });
    const headers = { "Content-Type": "application/wasm" };
    WebAssembly.compileStreaming(new Response(gzip.readable.pipeThrough(counting), { headers }))
      .then((machine) => postMessage({ machine, length }), () => postMessage(null));`;

  const callbacks = [];
  const waiting = new Map();
  const taken = new Map();
  const fromDisk = window.location.protocol === "file:";
  let worker = null;
  let watchdog = 0;
  let lastId = 0;
  let stage = "download";

  const python = { state: "idle", reason: null, detail: null, facts: null, spent: 0, start, ask, take, onchange };

  function onchange(callback) {
    callbacks.push(callback);
  }

  function change(values) {
    Object.assign(python, values);
    for (const callback of callbacks) callback(python);
  }

  function start() {
    if (python.state !== "idle") return;
    change({ state: "loading" });
    boot().catch((error) => fail(error.reason || "start", error.message));
  }

  async function boot() {
    if (typeof WebAssembly !== "object") {
      throw trouble("no-webassembly", "this browser has no WebAssembly, or it is switched off");
    }
    if (typeof Worker !== "function") {
      throw trouble("no-worker", "this browser has no web workers, or they are switched off");
    }
    const { worker: address, ...files } = addresses();
    watch();
    // All at once: the worker's own script is not all that takes time to come.
    const arriving = [
      { url: files.wasm, content: aside(COMPILE, files.wasm) },
      { url: files.snapshot, content: aside(INFLATE, files.snapshot) },
    ];
    for (const each of arriving) each.content.catch(() => {});
    begin(await workerScript(address));
    worker?.postMessage({ type: "boot", files });
    for (const { url, content } of arriving) handOver(url, content);
  }

  // All that the page's element names, as whole addresses.
  function addresses() {
    const element = document.getElementById("python-runtime");
    if (!element) throw trouble("download", "this page does not say where the interpreter lies");
    const whole = ([kind, url]) => [kind, new URL(url, document.baseURI).href];
    return Object.fromEntries(Object.entries(element.dataset).map(whole));
  }

  function fileName(url) {
    return url.slice(url.lastIndexOf("/") + 1);
  }

  async function workerScript(url) {
    const script = fromDisk ? new Blob([await unpacked(url)]) : await download(url);
    const start = await script.slice(0, FIRST_WORDS.length).text();
    if (start !== FIRST_WORDS) {
      throw trouble("corrupt", `${fileName(url)} is something else: it starts with ${JSON.stringify(start)}`);
    }
    return script;
  }

  // The content of a file: from a server as it is, from disk as base64 of its gzip.
  async function content(url) {
    return fromDisk ? carried(url) : (await download(url)).arrayBuffer();
  }

  async function download(url) {
    const pieces = [];
    await eachPiece(url, (piece) => pieces.push(piece));
    return new Blob(pieces);
  }

  async function eachPiece(url, callback) {
    const name = fileName(url);
    let response;
    try {
      response = await fetch(url);
      const reader = response.body.getReader();
      for (let part = await reader.read(); !part.done; part = await reader.read()) {
        callback(part.value);
        watch();
      }
    } catch (error) {
      throw trouble("download", `${name} did not arrive: ${error.message}`);
    }
    if (!response.ok) throw trouble("download", `${name} did not arrive: the server answered ${response.status}`);
  }

  // The first worker has enough to do with its own script, and would inflate one file after the other.
  // From disk the files come as text, which the first worker decodes; it does the rest there too.
  function aside(script, url) {
    if (fromDisk) return carried(url);
    let helper;
    try {
      helper = workerFrom(script);
    } catch {
      return content(url);
    }
    const done = new Promise((resolve, reject) => {
      // The page stands still while it copies a piece: it gives each away, and where that was in vain all come again.
      eachPiece(url, (piece) => helper.postMessage(piece, [piece.buffer])).then(() => helper.postMessage(null), reject);
      helper.onmessage = ({ data }) => resolve(data ?? content(url));
      helper.onerror = (event) => {
        event.preventDefault();
        resolve(content(url));
      };
    });
    return done.finally(() => helper.terminate());
  }

  async function unpacked(url) {
    const base64 = await carried(url);
    try {
      return await new Response(new Response(bytesFrom(base64)).body.pipeThrough(new DecompressionStream("gzip"))).arrayBuffer();
    } catch {
      throw trouble("corrupt", `${fileName(url)} cannot be unpacked: it is damaged, or this browser is too old`);
    }
  }

  // Uint8Array.from would call a function for each byte, and the page stand still meanwhile.
  function bytesFrom(base64) {
    if (Uint8Array.fromBase64) return Uint8Array.fromBase64(base64);
    const letters = window.atob(base64);
    const bytes = new Uint8Array(letters.length);
    for (let at = 0; at < bytes.length; at += 1) bytes[at] = letters.charCodeAt(at);
    return bytes;
  }

  // A page opened from disk may read no file, only run scripts. So each file lies there as a
  // script too, which hands it over by calling `take`.
  function carried(url) {
    const name = fileName(url);
    return new Promise((resolve, reject) => {
      const script = document.createElement("script");
      script.src = `${url.slice(0, -name.length)}disk/${name}.js`;
      script.onload = () => {
        script.remove();
        if (taken.has(name)) resolve(taken.get(name));
        else reject(trouble("corrupt", `disk/${name}.js is damaged or not all there`));
        taken.delete(name);
      };
      script.onerror = () => reject(trouble("download", `disk/${name}.js is not there: to compute from disk, the handbook needs all its files`));
      document.head.append(script);
    });
  }

  function take(name, base64) {
    taken.set(name, base64);
  }

  async function handOver(url, arriving) {
    let message;
    try {
      const content = await arriving;
      message = { type: "file", url, content };
    } catch ({ reason, message: detail }) {
      message = { type: "no-file", url, reason, detail };
    }
    worker?.postMessage(message, message.content instanceof ArrayBuffer ? [message.content] : []);
  }

  // A worker made from a blob, not from the address, is held to the page's own security policy.
  function workerFrom(script) {
    const address = URL.createObjectURL(new Blob([script], { type: "text/javascript" }));
    try {
      return new Worker(address);
    } finally {
      URL.revokeObjectURL(address);
    }
  }

  function begin(script) {
    if (python.state !== "loading") return;
    try {
      worker = workerFrom(script);
    } catch (error) {
      throw trouble("no-worker", `the browser refused to start a worker: ${error.message}`);
    }
    worker.onmessage = ({ data }) => hear(data);
    worker.onerror = (event) => {
      event.preventDefault();
      if (!event.message) fail("no-worker", "the browser refused to start a worker");
      else fail(python.state === "ready" ? "crashed" : "start", event.message);
    };
  }

  function hear(message) {
    if (message.type === "want") {
      handOver(message.url, content(message.url));
    } else if (message.type === "progress") {
      stage = message.stage;
      watch();
    } else if (message.type === "ready") {
      window.clearTimeout(watchdog);
      const { python: version, milliseconds, steps, setback } = message;
      change({ state: "ready", facts: { python: version, milliseconds, steps, setback } });
      for (const [id, each] of waiting) post(id, each.request);
    } else if (message.type === "failed") {
      fail(message.reason, message.detail);
    } else if (message.type === "answer") {
      python.spent = message.milliseconds;
      settled(message.id).resolve(message.response);
    } else if (message.type === "failed-ask") {
      settled(message.id).reject(Object.assign(trouble("answer", message.detail), { trace: message.trace }));
    }
  }

  function ask(request) {
    if (python.state === "failed") return Promise.reject(trouble(python.reason, python.detail));
    start();
    return new Promise((resolve, reject) => {
      lastId += 1;
      waiting.set(lastId, { request, resolve, reject });
      if (python.state === "ready") post(lastId, request);
    });
  }

  function post(id, request) {
    worker.postMessage({ type: "ask", id, request });
  }

  function settled(id) {
    const promise = waiting.get(id);
    waiting.delete(id);
    return promise;
  }

  function watch() {
    if (python.state !== "loading") return;
    window.clearTimeout(watchdog);
    watchdog = window.setTimeout(() => {
      fail("timeout", `nothing was heard for ${PATIENCE / 1000} s during "${stage}"`);
    }, PATIENCE);
  }

  // The first cause stays: what follows it is only its consequence.
  function fail(reason, detail) {
    if (python.state === "failed") return;
    window.clearTimeout(watchdog);
    if (worker) worker.terminate();
    worker = null;
    change({ state: "failed", reason, detail });
    for (const promise of waiting.values()) promise.reject(trouble(reason, detail));
    waiting.clear();
  }

  function trouble(reason, detail) {
    return Object.assign(new Error(detail), { reason });
  }

  return python;
})();
