// Binds the forms of a page to Python: collects what was typed, hands it over as strings, and
// puts the HTML back that it is given. Knows no field, unit or formula. Choices marked to be kept
// are remembered on this device, and what follows from them comes from Python too.
"use strict";

(() => {
  const WORDS = {
    idle: "The answer shown is for the values in the form. Live answers start when you touch a field.",
    loading: "Getting ready to compute here …",
    ready: "Live: every change is computed here, on this device.",
    failed: "Not live: the answer shown is for the example. ",
  };

  const KEPT = "handbook.kept";

  const python = window.Handbook.python;
  const kept = remembered();
  const calculators = [...document.querySelectorAll("[data-calculator]")].map(bind);
  if (!calculators.length) return;

  python.onchange(showState);
  showState();
  window.addEventListener("hashchange", readAddress);
  readAddress();
  calculators.filter(({ form }) => keepers(form).some(({ name, value }) => name in kept && kept[name] !== value)).forEach(ask);
  // As soon as nothing else is waiting, get ready without being asked.
  const whenIdle = window.requestIdleCallback || ((callback) => window.setTimeout(callback, 200));
  whenIdle(() => python.start(), { timeout: 3000 });

  function bind(section) {
    const form = section.querySelector("form");
    const rows = [...form.querySelectorAll("[data-rows-list]")].map((list) => [list, list.innerHTML]);
    const calculator = { section, form, asked: false, asking: false, start: texts(form), own: new Set(), rows };
    form.addEventListener("focusin", () => python.start(), { once: true });
    form.addEventListener("input", (event) => {
      untick(event.target);
      choose(form, event.target);
      calculator.own.add(event.target.name);
      if ("keep" in event.target.dataset) keep(calculator, event.target);
      ask(calculator);
    });
    form.addEventListener("submit", (event) => event.preventDefault());
    form.addEventListener("reset", () => {
      for (const [list, html] of rows) list.innerHTML = html;
      calculator.own.clear();
      window.setTimeout(() => ask(calculator));
    });
    form.addEventListener("click", (event) => {
      if (event.target.dataset.action === "add-row") addRow(event.target.closest("[data-rows]")).querySelector("input").focus();
      if (event.target.dataset.action === "remove-row") removeRow(calculator, event.target.closest("[data-row]"));
      if (event.target.dataset.action === "copy-address") copyAddress(event.target);
      if (event.target.dataset.field) focusField(event, form);
    });
    return calculator;
  }

  function addRow(rows, index = String(1 + Math.max(-1, ...[...rows.querySelectorAll("[data-row]")].map((row) => Number(row.dataset.row))))) {
    const list = rows.querySelector("[data-rows-list]");
    list.insertAdjacentHTML("beforeend", rows.querySelector("template").innerHTML.replaceAll("ROW", index));
    return list.lastElementChild;
  }

  function removeRow(calculator, row) {
    const next = row.nextElementSibling || row.previousElementSibling;
    row.remove();
    if (next) next.querySelector("input").focus();
    ask(calculator);
  }

  // Someone who types a value does know it.
  function untick(input) {
    const box = input.type === "text" && input.form.elements[`${input.name}.unknown`];
    if (box) box.checked = input.value.trim() === "" && box.checked;
  }

  // A name chosen from a list goes into the field beside it.
  function choose(form, list) {
    if (list.dataset.into && list.value) form.elements[list.dataset.into].value = list.value;
  }

  function keepers(form) {
    return [...form.querySelectorAll("[data-keep]")];
  }

  // Without storage, as in a private window, a choice holds for this page.
  function remembered() {
    try {
      const found = JSON.parse(window.localStorage.getItem(KEPT));
      return found && typeof found === "object" ? found : {};
    } catch {
      return {};
    }
  }

  function keep(calculator, control) {
    kept[control.name] = control.value;
    try {
      window.localStorage.setItem(KEPT, JSON.stringify(kept));
    } catch {
      // it stays in `kept`
    }
    for (const other of calculators) {
      if (other !== calculator && keepers(other.form).some(({ name }) => name === control.name)) ask(other);
    }
  }

  function texts(form) {
    return Object.fromEntries(new FormData(form));
  }

  // One question at a time and only the latest: what was typed meanwhile is asked next.
  async function ask(calculator) {
    calculator.asked = true;
    if (calculator.asking) return;
    calculator.asking = true;
    while (calculator.asked) {
      calculator.asked = false;
      const { section, form } = calculator;
      const request = { calculator: section.dataset.calculator, id: section.id, values: texts(form), start: calculator.start, own: [...calculator.own], kept: keepers(form).length ? kept : {} };
      try {
        show(calculator, JSON.parse(await python.ask(JSON.stringify(request))));
      } catch (error) {
        if (python.state !== "failed") say(section, `Not computed: ${error.message}`);
      }
    }
    calculator.asking = false;
  }

  function show(calculator, answer) {
    const { section, form, own } = calculator;
    for (const [name, text] of Object.entries(answer.fill)) {
      if (!own.has(name)) put(form, name, text);
    }
    const open = [...section.querySelectorAll("details[open]")].map((each) => each.id);
    for (const slot of section.querySelectorAll("[data-slot]")) {
      const html = answer.slots[slot.dataset.slot] ?? (slot.dataset.slot.startsWith("error") ? "" : null);
      if (html !== null && slot.innerHTML !== html) slot.innerHTML = html;
    }
    for (const id of open) document.getElementById(id)?.setAttribute("open", "");
    section.toggleAttribute("data-unusable", !answer.usable);
    for (const control of form.elements) {
      if (!control.name || control.type === "checkbox") continue;
      control.closest(".field").toggleAttribute("data-unused", answer.unused.includes(control.name));
      if (answer.invalid.includes(control.name)) {
        control.setAttribute("aria-invalid", "true");
        control.closest("details")?.setAttribute("open", "");
      } else {
        control.removeAttribute("aria-invalid");
      }
    }
    writeAddress(section.id, answer.share);
  }

  // The address after the # stays on the device: no server sees it.
  function writeAddress(id, share) {
    const others = parts().filter(([name]) => name !== id);
    const all = share ? [...others, [id, share]] : others;
    const hash = all.map(([name, query]) => `${name}?${query}`).join("&&");
    if (!hash && !window.location.hash.includes("?")) return;
    window.history.replaceState(null, "", hash ? `#${hash}` : window.location.pathname + window.location.search);
  }

  function parts() {
    return window.location.hash.slice(1).split("&&").filter((part) => part.includes("?"))
      .map((part) => [part.slice(0, part.indexOf("?")), part.slice(part.indexOf("?") + 1)]);
  }

  function readAddress() {
    for (const [id, query] of parts()) {
      const calculator = calculators.find(({ section }) => section.id === id);
      if (!calculator) continue;
      const texts = [...new URLSearchParams(query)];
      makeRows(calculator.form, texts);
      for (const [name, text] of texts) {
        calculator.own.add(name);
        put(calculator.form, name, text)?.closest("details")?.setAttribute("open", "");
      }
      calculator.section.scrollIntoView();
      ask(calculator);
    }
  }

  // An address that names rows names all of them: NAME.INDEX.COLUMN.
  function makeRows(form, texts) {
    const named = texts.map(([name]) => name.split(".")).filter((parts) => parts.length === 3 && /^\d{1,4}$/.test(parts[1]));
    for (const rows of form.querySelectorAll("[data-rows]")) {
      const indices = new Set(named.filter(([name]) => name === rows.dataset.rows).map(([, index]) => index));
      if (!indices.size) continue;
      rows.querySelector("[data-rows-list]").innerHTML = "";
      for (const index of indices) addRow(rows, index);
    }
  }

  function put(form, name, text) {
    const control = form.elements[name];
    if (!control) return null;
    const box = form.elements[`${name}.unknown`];
    const unknown = Boolean(box) && text === "unknown";
    if (box) box.checked = unknown;
    control.value = unknown ? "" : text;
    return control;
  }

  function focusField(event, form) {
    event.preventDefault();
    const control = form.elements[event.target.dataset.field];
    control.closest("details")?.setAttribute("open", "");
    control.focus();
  }

  async function copyAddress(button) {
    const words = button.textContent;
    try {
      await window.navigator.clipboard.writeText(window.location.href);
      button.textContent = "Copied";
    } catch {
      button.textContent = "Not copied: take it from the address bar";
    }
    window.setTimeout(() => { button.textContent = words; }, 3000);
  }

  function showState() {
    const words = WORDS[python.state] + reason();
    for (const { section } of calculators) {
      section.dataset.state = python.state;
      say(section, words);
    }
  }

  function reason() {
    if (python.state === "failed") return `Reason: ${python.detail}.`;
    const setback = python.state === "ready" && python.facts.setback;
    return setback ? ` It took the slower way to start: ${setback.detail}.` : "";
  }

  function say(section, words) {
    section.querySelector("[data-live]").textContent = words;
  }
})();
