// Search in a copy opened from disk. There a browser starts no worker from a file and fetches no
// file, so both come as scripts: the theme loads its index from search/search_index.js itself, and
// this puts a worker in place of the theme's, made from the text that search/search_worker.js holds.
"use strict";

(() => {
  if (window.location.protocol !== "file:") return;

  const Native = window.Worker;
  const source = new URL("../../search/search_worker.js", document.currentScript.src).href;

  // Takes messages at once and passes them on when its worker is there.
  class SearchWorker extends EventTarget {
    constructor() {
      super();
      this.waiting = [];
      const script = document.createElement("script");
      script.src = source;
      script.onload = () => this.begin(window.Handbook.searchWorker);
      document.head.append(script);
    }

    begin(text) {
      const address = URL.createObjectURL(new Blob([text], { type: "text/javascript" }));
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
    return /\/workers\/search\./.test(address) ? new SearchWorker() : new Native(address, options);
  };
})();
