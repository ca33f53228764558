// The page's side of the in-page Python: starts it, asks it, and says how it stands.
// Knows no calculator, field or formula; a request and its response are strings.
//
//   Handbook.python.state      "idle" | "loading" | "ready" | "failed"
//   Handbook.python.reason     why it failed: "file", "no-webassembly", "no-worker", "old-browser",
//                              "download", "corrupt", "start", "timeout" or "crashed"
//   Handbook.python.detail     the same in words, naming the file where there is one
//   Handbook.python.facts      when ready: {python, milliseconds}
//   Handbook.python.start()    begins loading, once
//   Handbook.python.ask(text)  a promise of the response; starts what is not started, waits, and
//                              is rejected with an Error that has `reason` and, for a Python
//                              exception, `trace`
//   Handbook.python.onchange(callback)  calls back at every change of state
"use strict";

window.Handbook = window.Handbook || {};

window.Handbook.python = (() => {
  // Nothing at all heard from the worker for so long means that it is stuck.
  const PATIENCE = 15000;
  const FIRST_WORDS = "self.importScripts";

  const callbacks = [];
  const waiting = new Map();
  let worker = null;
  let watchdog = 0;
  let lastId = 0;
  let stage = "download";

  const python = { state: "idle", reason: null, detail: null, facts: null, start, ask, onchange };

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
    if (window.location.protocol === "file:") {
      throw trouble("file", "live answers need the handbook to be opened from a server, not from a file");
    }
    if (typeof WebAssembly !== "object") {
      throw trouble("no-webassembly", "this browser has no WebAssembly, or it is switched off");
    }
    if (typeof Worker !== "function") {
      throw trouble("no-worker", "this browser has no web workers, or they are switched off");
    }
    const urls = addresses();
    watch();
    begin(await workerScript(urls.worker), urls);
  }

  function addresses() {
    const element = document.getElementById("python-runtime");
    if (!element) throw trouble("download", "this page does not say where the interpreter lies");
    const absolute = (name) => new URL(element.dataset[name], document.baseURI).href;
    return { worker: absolute("worker"), wasm: absolute("wasm"), stdlib: absolute("stdlib") };
  }

  async function workerScript(url) {
    const name = url.slice(url.lastIndexOf("/") + 1);
    let response;
    let text;
    try {
      response = await fetch(url);
      text = await response.text();
    } catch (error) {
      throw trouble("download", `${name} did not arrive: ${error.message}`);
    }
    if (!response.ok) throw trouble("download", `${name} did not arrive: the server answered ${response.status}`);
    if (!text.startsWith(FIRST_WORDS)) {
      throw trouble("corrupt", `${name} is something else: it starts with ${JSON.stringify(text.slice(0, 16))}`);
    }
    return text;
  }

  // A worker made from a blob, not from the address, is held to the page's own security policy.
  function begin(script, urls) {
    if (python.state !== "loading") return;
    const address = URL.createObjectURL(new Blob([script], { type: "text/javascript" }));
    try {
      worker = new Worker(address);
    } catch (error) {
      throw trouble("no-worker", `the browser refused to start a worker: ${error.message}`);
    } finally {
      URL.revokeObjectURL(address);
    }
    worker.onmessage = ({ data }) => hear(data);
    worker.onerror = (event) => {
      event.preventDefault();
      if (!event.message) fail("no-worker", "the browser refused to start a worker");
      else fail(python.state === "ready" ? "crashed" : "start", event.message);
    };
    worker.postMessage({ type: "boot", wasm: urls.wasm, stdlib: urls.stdlib });
  }

  function hear(message) {
    if (message.type === "progress") {
      stage = message.stage;
      watch();
    } else if (message.type === "ready") {
      window.clearTimeout(watchdog);
      change({ state: "ready", facts: { python: message.python, milliseconds: message.milliseconds } });
      for (const [id, each] of waiting) post(id, each.request);
    } else if (message.type === "failed") {
      fail(message.reason, message.detail);
    } else if (message.type === "answer") {
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
