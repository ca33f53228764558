// The search, started when it is first asked for. The theme starts it on every page and indexes the
// whole handbook there, at the very time when the forms start; most readers of a page never search.
//
// In a copy opened from disk a browser starts no worker from a file and fetches no file, so both come
// as scripts: the theme loads its index from search/search_index.js itself, and the worker is made
// from the text that search/search_worker.js holds.
"use strict";

(() => {
  const Native = window.Worker;
  const source = new URL("../../search/search_worker.js", document.currentScript.src).href;

  const asked = new Promise((resolve) => {
    const isSearch = ({ target }) => target.id === "__search" || target.closest?.("[data-md-component=search]");
    // "change" is the theme opening the search by itself, as for an address that holds a question.
    for (const type of ["focusin", "input", "change"]) {
      document.addEventListener(type, (event) => isSearch(event) && resolve(), { capture: true });
    }
  });

  function fromDisk() {
    return new Promise((resolve) => {
      const script = document.createElement("script");
      script.src = source;
      script.onload = () => resolve(URL.createObjectURL(new Blob([window.Handbook.searchWorker], { type: "text/javascript" })));
      document.head.append(script);
    });
  }

  // Takes messages at once and passes them on when its worker is there.
  class SearchWorker extends EventTarget {
    constructor(address) {
      super();
      this.waiting = [];
      asked.then(() => (window.location.protocol === "file:" ? fromDisk() : address)).then((found) => this.begin(found));
    }

    begin(address) {
      this.worker = new Native(address);
      this.worker.onmessage = ({ data }) => this.dispatchEvent(new MessageEvent("message", { data }));
      for (const message of this.waiting) this.worker.postMessage(message);
    }

    postMessage(message) {
      if (this.worker) this.worker.postMessage(message);
      else this.waiting.push(message);
    }
  }

  window.Worker = function Worker(address, options) {
    return /\/workers\/search\./.test(address) ? new SearchWorker(address) : new Native(address, options);
  };
})();
