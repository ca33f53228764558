// The worksheet of a whole job: keeps plans on the device, hands every change to Python, and puts
// the HTML back that it is given. Knows no field, unit or formula.
//
// A plan is kept under "handbook-plan:ID" as {text, name, waiting}: the document as Python wrote
// it, what it is called, and the changes that Python has not taken yet, which a later visit makes.
"use strict";

(() => {
  const root = document.getElementById("worksheet");
  if (!root) return;

  const KEY = "handbook-plan:";
  const LAST = "handbook-plan-last";
  const FILE_MOST = 1000000; // bytes of a file that is read at all
  const CATALOGUE_MOST = 4000000;
  const UNDO_MOST = 100;
  const WORDS = {
    idle: "The answers shown are for the example. Live answers start when you touch a field.",
    loading: "Getting ready to compute here …",
    ready: "Live: every change is computed here, on this device.",
    failed: "Not live: what you type is kept on this device and is computed at your next visit. ",
  };

  const python = window.Handbook.python;
  const form = root.querySelector("[data-part=form]");
  const choice = root.querySelector("#plan-choice");
  const example = { text: root.dataset.text, name: choice.options[0].textContent, waiting: [] };
  const current = { id: null, text: "", name: "", kept: null, waiting: [], step: root.dataset.step, before: "", past: [], link: "" };
  const again = Object.assign(document.createElement("button"), { type: "button", textContent: "run the units again" });
  let working = false;
  let atWork = Promise.resolve();
  let catalogue = null; // the text of the list that was read last
  let screening = 0; // counts the wishes for it, so that a newer one ends the older
  let paper = null;

  python.onchange(showState);
  showState();
  listen();
  window.addEventListener("storage", hearOtherWindow);
  window.addEventListener("hashchange", readLink);
  open(fromStore(lastId()) ? lastId() : null);
  readLink();
  const whenIdle = window.requestIdleCallback || ((callback) => window.setTimeout(callback, 200));
  whenIdle(() => python.start(), { timeout: 3000 });

  // ---- what is kept ----

  function store(action) {
    try {
      return action(window.localStorage);
    } catch (error) {
      say(`Not saved: the browser refused (${error.name === "QuotaExceededError" ? "its storage is full" : error.message}). Save the plan as a file to keep it.`);
      return null;
    }
  }

  function fromStore(id) {
    const text = id && store((storage) => storage.getItem(KEY + id));
    if (!text) return null;
    try {
      return { waiting: [], ...JSON.parse(text) };
    } catch {
      return null;
    }
  }

  function lastId() {
    return store((storage) => storage.getItem(LAST));
  }

  function newId() {
    return `${Date.now().toString(36)}-${Math.random().toString(36).slice(2, 8)}`;
  }

  function ids() {
    const keys = store((storage) => Array.from({ length: storage.length }, (_, place) => storage.key(place))) || [];
    return keys.filter((key) => key?.startsWith(KEY)).map((key) => key.slice(KEY.length)).sort();
  }

  // Kept only over what this window knows: what another window wrote meanwhile stays, and this one
  // goes on beside it as a plan of its own.
  function keep() {
    const record = JSON.stringify({ text: current.text, name: current.name, waiting: current.waiting });
    if (current.id) {
      const there = store((storage) => storage.getItem(KEY + current.id));
      if (there !== null && there !== current.kept) {
        current.id = null;
        notice("This plan was changed in another window at the same time. Both are kept: you go on here with a copy of your own.");
      }
    }
    current.id = current.id || newId();
    const kept = store((storage) => {
      storage.setItem(KEY + current.id, record);
      storage.setItem(LAST, current.id);
      return true;
    });
    if (kept) {
      current.kept = record;
      say("Saved on this device.");
    }
    listPlans();
  }

  function listPlans() {
    const plans = ids().map((id) => [id, fromStore(id)?.name || "A plan that cannot be read"]);
    if (!current.id) plans.unshift(["", current.name]);
    choice.replaceChildren(...plans.map(([id, name]) => new Option(name, id, false, id === (current.id || ""))));
  }

  // Another window saved this plan: what it wrote is taken over here, unless something here is
  // still on its way; then `keep` finds out, and both stay.
  function hearOtherWindow({ key, newValue }) {
    if (!key?.startsWith(KEY)) return;
    listPlans();
    if (key !== KEY + current.id || newValue === current.kept || working) return;
    if (newValue === null) {
      current.kept = null;
      say("Removed in another window. It is kept again as soon as you change something here.");
      return;
    }
    const record = fromStore(current.id);
    if (!record || record.waiting.length) return; // the other window is still at it
    current.past.push(current.text);
    take(record, newValue);
    ask({ form: true }, current.text);
    say("Changed in another window, and shown here as it is now.");
  }

  // ---- opening ----

  function take(record, kept) {
    Object.assign(current, { text: record.text, name: record.name, waiting: record.waiting, kept, before: record.text });
  }

  // Null is the example, which is nobody's until something is changed. Changes that an earlier visit
  // could not make are made now, and then shown.
  async function open(id) {
    const record = id && fromStore(id);
    current.id = record ? id : null;
    current.past = [];
    if (record) {
      take(record, store((storage) => storage.getItem(KEY + id)));
      store((storage) => storage.setItem(LAST, id));
      say("Saved on this device.");
    } else {
      take({ ...example, waiting: [] }, null);
    }
    listPlans();
    showUndo();
    if (!record) return;
    if (current.waiting.length) await work();
    await ask({ form: true });
  }

  // ---- changes ----

  function change(edit) {
    const last = current.waiting[current.waiting.length - 1];
    if (last && edit.do === "set" && last.do === "set" && last.path === edit.path) current.waiting.pop();
    current.waiting.push(edit);
    keep();
    work();
  }

  // One change after the other, each on the plan that the one before gave.
  function work() {
    if (!working) atWork = workOff();
    return atWork;
  }

  async function workOff() {
    working = true;
    try {
      while (current.waiting.length) {
        const edit = current.waiting[0];
        const reply = await request({ edit, form: edit.do !== "set" });
        const place = current.waiting.indexOf(edit);
        if (place >= 0) current.waiting.splice(place, 1);
        if (reply.errors.length) notice(told(reply));
        else if (reply.plan !== current.text) remember(edit);
        show(reply);
        keep();
      }
    } catch (error) {
      if (python.state !== "failed") notice(`Not computed: ${error.message}`);
    }
    working = false;
  }

  // What undo goes back to: the plan before each field was touched, and before each other change.
  function remember(edit) {
    if (edit.do !== "set" || current.past[current.past.length - 1] !== current.before) current.past.push(edit.do === "set" ? current.before : current.text);
    current.past.splice(0, current.past.length - UNDO_MOST);
    showUndo();
  }

  async function request(more) {
    if (more.edit && more.edit.do !== "set") current.before = current.text;
    return JSON.parse(await python.ask(JSON.stringify({ do: "step", plan: current.text, step: current.step, before: current.before, ...more })));
  }

  // Only once every change is made: an answer about the plan before would undo the latest.
  async function ask(more, before) {
    await atWork;
    try {
      if (before) current.before = before;
      const reply = await request(more);
      if (reply.errors.length) {
        notice(told(reply));
        return false;
      }
      show(reply);
      return true;
    } catch (error) {
      if (python.state !== "failed") notice(`Not computed: ${error.message}`);
      return false;
    }
  }

  async function undo() {
    await atWork;
    const text = current.past.pop();
    if (text === undefined) return;
    const undone = current.text;
    current.text = text;
    await ask({ form: true }, undone);
    current.before = text;
    keep();
    showUndo();
  }

  // A file, a link or an example becomes a plan of its own; nothing that is there is written over.
  async function bring(source, words) {
    await atWork;
    const reply = await python.ask(JSON.stringify({ do: "step", plan: "", step: current.step, form: true, ...source })).then(JSON.parse, (error) => ({ errors: [{ path: "", text: error.message }] }));
    if (reply.errors.length) {
      notice(`${words} cannot be used. ${told(reply)}. Nothing was changed.`);
      return;
    }
    Object.assign(current, { id: null, kept: null, waiting: [], past: [], text: reply.plan, before: reply.plan });
    show(reply);
    keep();
    showUndo();
    notice("");
  }

  // ---- the page ----

  function show(reply) {
    if (reply.errors.length) return;
    if (reply.plan !== current.text) outdate();
    Object.assign(current, { text: reply.plan, name: reply.name, link: reply.link });
    const opened = [...root.querySelectorAll("details[open]")].map((each) => each.id);
    if (reply.form !== undefined) {
      const focused = document.activeElement?.id;
      form.innerHTML = reply.form;
      if (focused) document.getElementById(focused)?.focus();
    }
    for (const slot of root.querySelectorAll("[data-slot]")) {
      const name = slot.dataset.slot;
      const html = reply.slots[name] ?? (/^(error|note)-/.test(name) ? "" : null);
      if (html !== null && slot.innerHTML !== html) slot.innerHTML = html;
    }
    for (const id of opened) document.getElementById(id)?.setAttribute("open", "");
    for (const control of form.elements) {
      if (!control.name) continue;
      if (reply.invalid.includes(control.name)) control.setAttribute("aria-invalid", "true");
      else control.removeAttribute("aria-invalid");
    }
    for (const name of reply.invalid) form.elements[name]?.closest?.("details")?.setAttribute("open", "");
  }

  async function turn(step) {
    current.step = root.dataset.step = step;
    current.before = current.text;
    if (!(await ask({ form: true, before: "" }))) return;
    root.querySelector("[data-slot=changes]").innerHTML = "";
    const title = root.querySelector("[data-slot=title]");
    title.focus({ preventScroll: true });
    title.scrollIntoView({ block: "start" });
  }

  function showUndo() {
    root.querySelector("[data-action=undo]").disabled = !current.past.length;
  }

  function notice(words) {
    root.querySelector("[data-part=notice]").textContent = words;
  }

  function say(words) {
    root.querySelector("[data-part=saved]").textContent = words;
  }

  function showState() {
    const reason = python.state === "failed" ? `Reason: ${python.detail}.` : "";
    root.querySelector("[data-live]").textContent = WORDS[python.state] + reason;
    root.dataset.state = python.state;
  }

  // ---- what the reader does ----

  function listen() {
    form.addEventListener("submit", (event) => event.preventDefault());
    form.addEventListener("focusin", (event) => {
      python.start();
      if (event.target.name && !working) current.before = current.text;
    });
    form.addEventListener("input", (event) => {
      const control = event.target;
      if (!control.name) return;
      const box = control.type === "checkbox";
      if (!box && form.elements[`${control.name}.unknown`]) form.elements[`${control.name}.unknown`].checked = false;
      const path = control.name.replace(/\.unknown$/, "");
      if (box && control.checked) form.elements[path].value = "";
      change({ do: "set", path, text: box ? (control.checked ? "unknown" : "") : control.value });
    });
    form.addEventListener("change", ({ target }) => {
      if (target.dataset.action === "apart") change({ do: "apart", id: target.dataset.load, other: target.value });
    });
    choice.addEventListener("change", () => open(choice.value || null));
    root.addEventListener("click", ({ target }) => ACTIONS[target.closest("[data-action]")?.dataset.action]?.(target.closest("[data-action]")));
    root.querySelector("[data-action=import]").addEventListener("change", ({ target }) => readFile(target));
  }

  const ACTIONS = {
    step: (button) => turn(button.dataset.step),
    undo,
    new: () => bring({}, "A new plan"),
    example: (button) => bring({ file: button.dataset.text }, "The example"),
    export: saveFile,
    link: copyLink,
    delete: removePlan,
    add: () => change({ do: "add", appliance: form.querySelector("[data-action=appliance]").value }),
    remove: (button) => change({ do: "remove", id: button.dataset.load }),
    up: (button) => change({ do: "move", id: button.dataset.load, by: -1 }),
    papers: () => document.querySelector("#the-papers").scrollIntoView(),
    down: (button) => change({ do: "move", id: button.dataset.load, by: 1 }),
  };

  async function readFile(input) {
    const [file] = input.files;
    input.value = "";
    if (!file) return;
    if (file.size > FILE_MOST) {
      notice(`${file.name} cannot be used: it is ${Math.round(file.size / 1e6)} MB large, and a plan is never above 1 MB. Nothing was changed.`);
      return;
    }
    await bring({ file: await file.text() }, file.name);
  }

  function fileName() {
    return (current.name || "plan").toLowerCase().replace(/[^\p{L}\p{N}]+/gu, "-").replace(/^-|-$/g, "") || "plan";
  }

  function saveFile() {
    download(current.text, `${fileName()}.json`, "application/json");
  }

  function download(text, name, type) {
    const link = document.createElement("a");
    link.href = URL.createObjectURL(new Blob([text], { type }));
    link.download = name;
    link.click();
    window.setTimeout(() => URL.revokeObjectURL(link.href), 10000);
  }

  async function copyLink(button) {
    if (!current.link && !(await ask({}))) return;
    const address = `${window.location.href.split("#")[0]}#plan=${current.link}`;
    const words = button.textContent;
    try {
      await window.navigator.clipboard.writeText(address);
      button.textContent = "Copied";
    } catch {
      window.history.replaceState(null, "", address);
      button.textContent = "Not copied: take it from the address bar";
    }
    window.setTimeout(() => { button.textContent = words; }, 4000);
  }

  function readLink() {
    const found = /^#plan=(.*)$/.exec(window.location.hash);
    if (!found) return;
    window.history.replaceState(null, "", window.location.pathname + window.location.search);
    bring({ link: decodeURIComponent(found[1]) }, "The link");
  }

  // ---- after the steps: units, papers, the call from the road ----

  const part = (name) => document.querySelector(`[data-part=${name}]`);
  const after = document.querySelectorAll("#plan-units, #plan-papers, #plan-road");
  for (const section of after) {
    section.addEventListener("click", ({ target }) => AFTER[target.closest("[data-action]")?.dataset.action]?.(target.closest("[data-action]")));
  }
  document.querySelector("[data-action=catalogue]")?.addEventListener("change", ({ target }) => readCatalogue(target));
  document.querySelector("#plan-order")?.addEventListener("change", () => screenUnits());
  again.addEventListener("click", () => screenUnits());

  const AFTER = {
    demo: (button) => screenUnits(button.dataset.text),
    paper: (button) => showPaper(button.dataset.paper),
    print: printPaper,
    "paper-file": () => download(paper.text, `${fileName()}-${paper.id}.txt`, "text/plain"),
    road: (button) => callFromRoad(button.dataset.form),
  };

  async function readCatalogue(input) {
    const [file] = input.files;
    input.value = "";
    if (!file) return;
    if (file.size > CATALOGUE_MOST) part("screened").textContent = `${file.name} is too large: ${CATALOGUE_MOST / 1e6} MB are read at most.`;
    else screenUnits(await file.text());
  }

  // Unit by unit, some at a time, so that the page can say how far it is; a newer wish ends it.
  async function screenUnits(text = catalogue) {
    await atWork;
    catalogue = text;
    if (catalogue === null) return;
    screening += 1;
    const mine = screening;
    part("screening").hidden = false;
    for (let done = false; !done && mine === screening;) {
      const reply = await wish({ do: "shortlist", catalogue, by: document.querySelector("#plan-order").value });
      if (mine !== screening) return;
      if (reply.errors.length) {
        part("screened").textContent = `The catalogue cannot be used. ${told(reply)}`;
        part("units").innerHTML = "";
        break;
      }
      done = reply.done === reply.total;
      document.querySelector("#plan-progress").value = reply.total ? reply.done / reply.total : 1;
      part("screened").textContent = done ? reply.summary : `${reply.done} of ${reply.total} units computed …`;
      if (done) {
        part("units").innerHTML = reply.table;
        part("rows").replaceChildren(...reply.notes.map(({ text }) => Object.assign(document.createElement("li"), { textContent: text })));
      }
    }
    part("screening").hidden = true;
  }

  // What was written for the plan as it was before does not stand beside the changed one.
  function outdate() {
    if (paper) {
      paper = null;
      part("paper").innerHTML = "";
      part("paper-actions").hidden = true;
      part("printed").textContent = "The plan has changed: ask for the paper again.";
    }
    if (catalogue !== null) {
      screening += 1;
      part("screening").hidden = true;
      part("units").innerHTML = "";
      part("screened").textContent = "The plan has changed: ";
      part("screened").append(again);
    }
  }

  async function showPaper(id) {
    const reply = await wish({ do: "papers" });
    if (reply.errors.length) {
      part("printed").textContent = told(reply);
      return;
    }
    paper = { id, ...reply.papers[id] };
    part("paper").innerHTML = paper.html;
    part("paper-actions").hidden = false;
    part("printed").textContent = `${paper.title}, laid out for ${paper.size}.`;
  }

  // Only the paper is printed; the style sheet knows its size.
  function printPaper() {
    document.documentElement.dataset.printing = paper.size.toLowerCase();
    window.print();
    delete document.documentElement.dataset.printing;
  }

  async function callFromRoad(form) {
    const reply = await wish({ do: "road", form });
    if (reply.start) window.location.href = new URL(`../calculators/${form}.html#${form}?${new URLSearchParams(reply.start)}`, document.baseURI).href;
  }

  // Asked of the plan with every change made that was typed so far.
  async function wish(request) {
    await atWork;
    try {
      return JSON.parse(await python.ask(JSON.stringify({ plan: current.text, ...request })));
    } catch (error) {
      return { errors: [{ path: "", text: error.message }] };
    }
  }

  function told({ errors }) {
    return errors.slice(0, 8).map(({ path, text }) => (path ? `${path}: ${text}` : text)).join(". ");
  }

  async function removePlan(button) {
    if (!current.id) {
      notice("This is an example: there is nothing of yours to remove.");
      return;
    }
    if (button.dataset.sure !== "yes") {
      button.dataset.sure = "yes";
      button.textContent = "Press again to remove it for good";
      window.setTimeout(() => { button.dataset.sure = ""; button.textContent = "Remove this plan"; }, 5000);
      return;
    }
    const { text, name } = current;
    store((storage) => storage.removeItem(KEY + current.id));
    await open(ids()[0] || null);
    if (!current.id) await ask({ form: true });
    current.past = [text];
    showUndo();
    notice(`“${name}” was removed. Undo brings its content back into this plan.`);
  }
})();
