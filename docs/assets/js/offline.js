// Keeps the handbook on the device: downloads one whole version, checks every file by length and
// hash, and only then lets sw.js serve it. An update waits until the reader takes it. The panel on
// offline.html shows how it stands; other pages only say when an update is ready.
//
// What there is, is in the browser's Cache storage, by names that start with the folder's path:
//   … record    {wanted, active, previous, ready, refused}: whether to keep the handbook at all, the
//               version served, the one before it, a whole one that waits to be switched to, and
//               one of which a file came wrong
//   … VERSION   its files, by address. It may be incomplete while it is not in the record.
"use strict";

(() => {
  const ROOT = new URL("../../", document.currentScript.src);
  const PREFIX = `handbook ${ROOT.pathname} `;
  const RECORD = new URL("offline-record", ROOT).href;
  const PANEL = document.getElementById("offline");
  const AT_ONCE = 4;
  // So long without a byte, and the network counts as broken off.
  const SILENCE = 30000;
  const NEXT_TRY = 20000;
  let nextTry = 0;
  let removing = false;

  class Trouble extends Error {
    constructor(kind, detail) {
      super(detail);
      this.kind = kind;
    }
  }

  // ---- what the browser keeps ----

  const cache = (name) => caches.open(PREFIX + name);

  async function readRecord() {
    if (!await caches.has(`${PREFIX}record`)) return {};
    const held = await (await cache("record")).match(RECORD);
    return held ? held.json() : {};
  }

  function change(values) {
    return alone("change", async () => {
      const record = { ...await readRecord(), ...values };
      await (await cache("record")).put(RECORD, new Response(JSON.stringify(record)));
      return record;
    });
  }

  // One window at a time; with `or`, that is called instead of waiting for another window.
  function alone(what, work, or) {
    if (!navigator.locks) return work();
    return navigator.locks.request(PREFIX + what, { ifAvailable: Boolean(or) }, (lock) => (lock ? work() : or()));
  }

  async function versionsKept() {
    return (await caches.keys()).filter((name) => name.startsWith(PREFIX)).map((name) => name.slice(PREFIX.length))
      .filter((name) => name !== "record");
  }

  async function tidy({ active, previous, ready }) {
    for (const version of await versionsKept()) {
      if (![active, previous, ready].includes(version)) await caches.delete(PREFIX + version);
    }
  }

  // ---- getting a version ----

  async function newestList() {
    let response;
    try {
      response = await fetch(new URL("offline-files.json?fresh=list", ROOT), { cache: "no-cache" });
      if (response.ok) return await response.json();
    } catch (error) {
      throw new Trouble("network", error.message);
    }
    throw new Trouble("network", `the server answered ${response.status}`);
  }

  // Every file of `list` into the cache of its version. What is there already stays: this goes on after a cut.
  async function obtain(list, report) {
    const target = await cache(list.version);
    const there = await addresses(target);
    const missing = list.files.filter(([path]) => !there.has(addressOf(path)));
    const sources = [];
    for (const version of await versionsKept()) if (version !== list.version) sources.push(await cache(version));
    let done = list.bytes - sum(missing);
    const count = (bytes) => report(done += bytes, list.bytes);
    count(0);
    await inParallel(missing, async (file) => {
      if (!(await readRecord()).wanted) throw new Trouble("unwanted", "the reader removed the copy meanwhile");
      await keep(target, file, await fromSources(sources, file, count) || await fromNetwork(file, count));
    });
    // Read back afresh: what a browser said it kept is not always there.
    const kept = await addresses(await cache(list.version));
    const lost = list.files.filter(([path]) => !kept.has(addressOf(path)));
    if (lost.length) throw new Trouble("storage", `${lost[0][0]} was not kept`);
  }

  async function addresses(held) {
    return new Set((await held.keys()).map((request) => request.url));
  }

  function addressOf(path) {
    return new URL(path, ROOT).href;
  }

  function sum(files) {
    return files.reduce((total, [, length]) => total + length, 0);
  }

  // The first failure stops all of them, and is thrown when none is left at work.
  async function inParallel(items, work) {
    const queue = [...items];
    let failure = null;
    async function worker() {
      while (queue.length && !failure) await work(queue.shift()).catch((error) => { failure ||= error; });
    }
    await Promise.all(Array.from({ length: AT_ONCE }, worker));
    if (failure) throw failure;
  }

  // Files that did not change need no network.
  async function fromSources(sources, file, count) {
    for (const source of sources) {
      const held = await source.match(addressOf(file[0]));
      const bytes = held && await held.arrayBuffer();
      if (bytes && await fits(file, bytes)) {
        count(bytes.byteLength);
        return { bytes, type: held.headers.get("Content-Type") };
      }
    }
    return null;
  }

  async function fromNetwork(file, count) {
    const [path, , hash] = file;
    const { bytes, type } = await download(`${addressOf(path)}?fresh=${encodeURIComponent(hash)}`, path, count);
    if (!await fits(file, bytes)) {
      count(-bytes.byteLength);
      throw new Trouble("content", `${path} is not the file the list names (${bytes.byteLength} bytes)`);
    }
    return { bytes, type };
  }

  async function download(address, path, count) {
    const control = new AbortController();
    let timer = 0;
    const heard = () => {
      window.clearTimeout(timer);
      timer = window.setTimeout(() => control.abort(new Error(`nothing came for ${SILENCE / 1000} s`)), SILENCE);
    };
    const chunks = [];
    let got = 0;
    try {
      heard();
      const response = await fetch(address, { cache: "no-store", signal: control.signal });
      if (!response.ok) throw new Error(`the server answered ${response.status}`);
      const reader = response.body.getReader();
      for (let part = await reader.read(); !part.done; part = await reader.read()) {
        heard();
        chunks.push(part.value);
        got += part.value.length;
        count(part.value.length);
      }
      return { bytes: await new Blob(chunks).arrayBuffer(), type: response.headers.get("Content-Type") };
    } catch (error) {
      count(-got);
      throw new Trouble("network", `${path}: ${error.message}`);
    } finally {
      window.clearTimeout(timer);
    }
  }

  // Some hosts inflate .gz files on the way; the list has those files' inner length and hash too.
  async function fits([, length, hash, innerLength, innerHash], bytes) {
    return await is(bytes, length, hash) || is(bytes, innerLength, innerHash);
  }

  async function is(bytes, length, hash) {
    if (bytes.byteLength !== length) return false;
    const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
    return btoa(String.fromCharCode(...digest)) === hash;
  }

  async function keep(target, [path], { bytes, type }) {
    try {
      await target.put(addressOf(path), new Response(bytes, { headers: type ? { "Content-Type": type } : {} }));
    } catch (error) {
      throw new Trouble("storage", `${path}: ${error.message || error.name}`);
    }
  }

  async function register() {
    try {
      await navigator.serviceWorker.register(new URL("sw.js", ROOT), { scope: ROOT.pathname });
    } catch (error) {
      throw new Trouble("refused", error.message);
    }
  }

  // ---- what the reader can do ----

  async function start({ asked = false } = {}) {
    await alone("download", async () => {
      let list = null;
      try {
        list = await newestList();
        await upTo(list, asked);
      } catch (error) {
        // Fetching it again at every page would eat somebody's data; the reader may ask for it.
        if (error.kind === "content") await change({ refused: { version: list.version, detail: error.message } });
        await failed(error, list);
      }
    }, () => show({ words: "Another window is at work on the copy of the handbook.", buttons: [["Look again", refresh]] }));
  }

  async function upTo(list, asked) {
    let record = await readRecord();
    if (record.active === list.version || record.ready === list.version) {
      await register();
      if (asked) await obtain(list, () => {});
      if (record.active === list.version && record.ready) record = await change({ ready: null });
      await tidy(record);
      return showKept(record, list, asked ? " It is the newest, and whole." : "");
    }
    if (!asked && record.refused?.version === list.version) throw new Trouble("content", record.refused.detail);
    if (record.active && !asked && navigator.connection?.saveData) return offer(record, list);
    await register();
    const words = record.active
      ? `A newer version is being downloaded. ${version(record)} serves until the new one is whole.`
      : "The handbook is being downloaded. You can read on, in this page or others.";
    await obtain(list, (done, total) => removing || show({ words, done, total, buttons: [REMOVE] }));
    // Nothing is switched while someone reads, unless there is nothing to switch from.
    record = await change({ [record.active ? "ready" : "active"]: list.version, refused: null });
    await tidy(record);
    return showKept(record, list);
  }

  async function wanted() {
    show({ words: "Asking the browser for room …", buttons: [] });
    try {
      await change({ wanted: true });
    } catch (error) {
      return failed(storageTrouble(error));
    }
    // Not waited for: some browsers ask the reader first.
    navigator.storage?.persist?.().catch(() => {});
    return start({ asked: true });
  }

  async function use() {
    const { ready, active } = await readRecord();
    if (ready) await change({ active: ready, previous: active, ready: null });
    window.location.reload();
  }

  async function remove() {
    removing = true;
    show({ words: "Being removed …", buttons: [] });
    try {
      // A download notices this at its next file, in whatever window it runs.
      await change({ wanted: false, active: null, previous: null, ready: null });
      await alone("download", async () => {
        for (const version of [...await versionsKept(), "record"]) await caches.delete(PREFIX + version);
        await (await navigator.serviceWorker.getRegistration(ROOT))?.unregister();
      });
    } catch (error) {
      return failed(storageTrouble(error));
    } finally {
      removing = false;
    }
    return show({ words: "Removed. The handbook needs the network again.", buttons: [KEEP] });
  }

  function storageTrouble(error) {
    return new Trouble("storage", error.message || error.name);
  }

  // ---- words ----

  const KEEP = ["Keep it on this device", wanted];
  const REMOVE = ["Remove the offline copy", remove];
  const LOOK = ["Look for a newer version", () => start({ asked: true })];
  const TAKE = ["Download the newer version", () => start({ asked: true })];
  const GO_ON = ["Go on with the download", () => start({ asked: true })];
  const USE = ["Use the newer version now", use];

  function megabytes(bytes) {
    return `${(bytes / 1e6).toFixed(1)}\u00a0MB`;
  }

  function version(record) {
    return `Version ${record.active.slice(0, 8)}`;
  }

  async function showNotKept() {
    let size = "The network is not there to say how large it is.";
    try {
      const list = await newestList();
      size = `Keeping it takes about ${megabytes(list.download)} of data and ${megabytes(list.bytes)} of room.`;
    } catch { /* Then it is not known. */ }
    show({ words: `Not kept on this device. ${size}`, buttons: [KEEP] });
  }

  function showKept(record, list, note = "") {
    const kept = `${version(record)} is kept on this device and needs no network.`;
    if (record.ready) {
      announce();
      return show({ words: `${kept} A newer version is here too, whole and checked.`, buttons: [USE, REMOVE] });
    }
    const size = list ? ` It holds ${list.files.length} files and takes ${megabytes(list.bytes)} of room.` : "";
    return show({ words: kept + size + note, buttons: [LOOK, REMOVE] });
  }

  function offer(record, list) {
    const words = `${version(record)} is kept on this device. There is a newer one. This device is set to save data, so it waits for you: up to ${megabytes(list.download)}.`;
    show({ words, buttons: [TAKE, REMOVE] });
  }

  // Whatever fails, what served before still serves.
  async function failed(error, list) {
    const record = await readRecord().catch(() => ({}));
    if (error.kind === "unwanted") return undefined;
    if (error.kind === "network" && !list && record.active) return showKept(record, null, " The network is not there to look for a newer one.");
    if (error.kind === "network") tryLater();
    const still = record.active ? `${version(record)} goes on serving.` : "Reading goes on with the network.";
    return show({ words: `${reason(error, list)} ${still}`, buttons: [GO_ON, REMOVE] });
  }

  function reason(error, list) {
    const detail = `(${error.message})`;
    switch (error.kind) {
      case "network":
        return `The network broke off ${detail}. What has arrived is kept, and the download goes on from there by itself.`;
      case "content":
        return `A file came wrong ${detail}: the handbook is being changed on the server just now, or something on the way altered it. That file is not used.`;
      case "storage":
        return `There is no room on this device, or the browser refused it ${detail}.${list ? ` The handbook needs ${megabytes(list.bytes)}.` : ""}`;
      case "refused":
        return `This browser refused to keep the handbook ${detail}.`;
      default:
        return `The download stopped ${detail}.`;
    }
  }

  function tryLater() {
    window.clearTimeout(nextTry);
    nextTry = window.setTimeout(again, NEXT_TRY);
  }

  // ---- showing it ----

  function show({ words, done, total, buttons }) {
    if (!PANEL) return;
    const part = (name) => PANEL.querySelector(`[data-part=${name}]`);
    if (part("words").textContent !== words) part("words").textContent = words;
    part("progress").hidden = total === undefined;
    if (total !== undefined) {
      part("bar").max = total;
      part("bar").value = done;
      part("megabytes").textContent = `${megabytes(done)} of ${megabytes(total)}`;
    }
    const names = buttons.map(([name]) => name).join();
    if (part("buttons").dataset.names === names) return;
    part("buttons").dataset.names = names;
    part("buttons").replaceChildren(...buttons.map(([name, action]) => button(name, action)));
  }

  function button(name, action) {
    const element = document.createElement("button");
    element.type = "button";
    element.className = "md-button";
    element.textContent = name;
    element.addEventListener("click", () => action());
    return element;
  }

  // On any page but the panel's: one line above the text.
  function announce() {
    if (PANEL || document.querySelector(".offline-news")) return;
    const line = document.createElement("p");
    line.className = "offline-news";
    line.append("A newer version of the handbook is on this device. ", button("Use it now", use));
    document.querySelector(".md-content__inner")?.prepend(line);
  }

  // ---- when ----

  function whyNot() {
    if (window.location.protocol === "file:") {
      return "This copy was opened from a disk. It is all here already and needs no network.";
    }
    if (!window.isSecureContext) {
      return "A browser keeps a site only if it comes by https. From this address the handbook cannot be kept.";
    }
    if (!navigator.serviceWorker || !window.caches) {
      return "This browser does not keep sites, or not in a private window. Reading goes on with the network.";
    }
    return null;
  }

  async function refresh() {
    let record;
    try {
      record = await readRecord();
    } catch (error) {
      return failed(storageTrouble(error));
    }
    if (record.wanted) {
      if (record.active) showKept(record, null);
      return start();
    }
    return PANEL ? showNotKept() : undefined;
  }

  async function again() {
    if ((await readRecord().catch(() => ({}))).wanted) await start();
  }

  // A page opened from disk is not allowed to load the manifest.
  function offerInstallation() {
    const link = document.createElement("link");
    link.rel = "manifest";
    link.href = new URL("handbook.webmanifest", ROOT).href;
    document.head.append(link);
  }

  const obstacle = whyNot();
  if (window.location.protocol !== "file:") offerInstallation();
  if (obstacle) {
    show({ words: obstacle, buttons: [] });
  } else {
    window.addEventListener("online", again);
    window.addEventListener("load", () => window.setTimeout(refresh, PANEL ? 0 : 1500));
  }
})();
