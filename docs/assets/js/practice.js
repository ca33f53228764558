// Practise and test, and the trainer's view: collects what was typed, hands it to Python, and puts the
// HTML back that it is given. Knows no topic and no answer; of marks it adds up what it is told.
//
// A set that was begun is kept under "handbook-practice:ID" as {set, mode, minutes, title, began, touched,
// answers, hints, seconds, marked, ended, who}, with answers, hints and seconds by number. Every change is
// made on the record as it lies there, so that two windows with one set keep the answers of both.
"use strict";

(() => {
  const python = window.Handbook.python;
  const WORDS = {
    idle: "Nothing leaves this device.",
    loading: "Getting ready to make and mark exercises here …",
    ready: "Ready: everything is done on this device, and nothing leaves it.",
    failed: "Not ready: nothing can be made or marked here. ",
  };
  const FILE_MOST = 1000000; // bytes of a file that is read at all

  const practice = document.getElementById("practice");
  const trainer = document.getElementById("trainer");
  if (!practice && !trainer) return;
  if (practice) practise(practice);
  if (trainer) read(trainer);
  const whenIdle = window.requestIdleCallback || ((callback) => window.setTimeout(callback, 200));
  // The first request has the exercises loaded, which takes longer than making a set: better before anyone waits.
  whenIdle(() => request({ action: "topics" }), { timeout: 3000 });

  // ---- what both pages need ----

  // What cannot be asked comes back as what cannot be used does, without a path.
  async function request(asked) {
    try {
      return JSON.parse(await python.ask(JSON.stringify({ do: "exercises", ...asked })));
    } catch (error) {
      return { errors: [{ path: "", text: `Not computed: ${error.message}.` }] };
    }
  }

  function sayState(root) {
    const reason = python.state === "failed" ? `Reason: ${python.detail}.` : "";
    const setback = python.state === "ready" && python.facts.setback ? ` It took the slower way to start: ${python.facts.setback.detail}.` : "";
    root.querySelector("[data-live]").textContent = WORDS[python.state] + reason + setback;
    root.dataset.state = python.state;
  }

  function actions(root, does) {
    root.addEventListener("click", ({ target }) => {
      const button = target.closest("[data-action]");
      does[button?.dataset.action]?.(button);
    });
  }

  function passing(button, words) {
    button.dataset.words ??= button.textContent;
    button.textContent = words;
    window.setTimeout(() => { button.textContent = button.dataset.words; }, 4000);
  }

  async function copied(text) {
    try {
      await window.navigator.clipboard.writeText(text);
      return true;
    } catch {
      return false;
    }
  }

  // ---- practise and test ----

  function practise(root) {
    const KEY = "handbook-practice:";
    const LAST = "handbook-practice-last";
    const PROGRESS = "handbook-practice-progress";
    const VIEW = "handbook-practice-view";
    const HERE = "handbook-practice-here"; // the set of this tab, while it is open
    const SEED_LETTERS = "abcdefghjkmnpqrstuvwxyz23456789"; // none that is taken for another

    const part = (name) => root.querySelector(`[data-part="${name}"]`);
    const order = part("order");
    const items = part("items");
    let current = null; // the set that is shown: {id, record, items, of, marks, kept}
    let making = 0; // counts the wishes for a set, so that a newer one ends the older
    let ticking = 0;

    python.onchange(showState);
    listen();
    order.elements.seed.value = freshSeed();
    showView();
    stage("choose");
    part("kept").hidden = false;
    showProgress();
    if (!readAddress()) resume();

    // ---- what is kept ----

    function store(action) {
      try {
        return action(window.localStorage);
      } catch (error) {
        if (current) current.kept = false;
        const reason = error.name === "QuotaExceededError" ? "its storage is full" : error.message;
        part("saved").textContent = `Not kept: the browser refused (${reason}). Save the file before you leave.`;
        return null;
      }
    }

    function parsed(key) {
      try {
        return JSON.parse(store((storage) => storage.getItem(key)));
      } catch {
        return null;
      }
    }

    function fromStore(id) {
      const found = id && parsed(KEY + id);
      return found?.set ? { answers: {}, hints: {}, seconds: {}, marked: [], ...found } : null;
    }

    function ids() {
      const keys = store((storage) => Array.from({ length: storage.length }, (_, place) => storage.key(place))) || [];
      return keys.filter((key) => key?.startsWith(KEY)).map((key) => key.slice(KEY.length)).sort().reverse();
    }

    // A record that could not be written stays ahead of the one that lies there.
    function change(edit) {
      const begun = current.id === null;
      current.id ??= `${Date.now().toString(36)}-${Math.random().toString(36).slice(2, 8)}`;
      const record = (current.kept && fromStore(current.id)) || current.record;
      record.began ??= Date.now();
      edit(record);
      current.record = record;
      current.kept = true;
      store((storage) => {
        storage.setItem(KEY + current.id, JSON.stringify(record));
        storage.setItem(LAST, current.id);
        window.sessionStorage.setItem(HERE, current.id);
      });
      if (current.kept) part("saved").textContent = "Kept on this device.";
      if (begun) listSets();
    }

    function hearOtherWindow({ key, newValue }) {
      if (key === null || key === PROGRESS) showProgress();
      if (!key?.startsWith(KEY)) return;
      listSets();
      if (!current || key !== KEY + current.id) return;
      if (newValue === null) part("saved").textContent = "Removed in another window. It is kept again as soon as you change something here.";
      else showRecord(fromStore(current.id) || current.record);
    }

    // ---- a set: from the form, from the address, from the device ----

    function typed() {
      const found = new FormData(order);
      const set = { seed: found.get("seed"), topics: found.getAll("topics"), level: found.get("level"), count: found.get("count") };
      return { set, mode: found.get("mode"), minutes: found.get("mode") === "test" ? found.get("minutes").trim() : "" };
    }

    function fill({ set, mode, minutes }) {
      for (const [name, value] of Object.entries({ ...set, mode, minutes })) {
        if (name !== "topics") order.elements[name].value = value;
      }
      const boxes = [...order.querySelectorAll("[name=topics]")];
      const all = set.topics.length === boxes.length;
      for (const box of boxes) box.checked = !all && set.topics.includes(box.value);
      showChosen();
    }

    function readAddress() {
      const told = new URLSearchParams(window.location.hash.slice(1));
      const topics = (told.get("topics") ?? told.get("topic") ?? "").split(",").filter(Boolean);
      if (told.has("seed")) {
        const now = typed();
        const set = { seed: told.get("seed"), topics, level: told.get("level") ?? now.set.level, count: told.get("count") ?? now.set.count };
        const mode = told.get("mode") === "test" ? "test" : "practise";
        make({ set, mode, minutes: mode === "test" ? told.get("minutes") ?? "" : "" }, true);
        return true;
      }
      if (!told.has("topic") && !told.has("topics")) return false;
      fill({ ...typed(), set: { ...typed().set, topics } });
      choose();
      return true;
    }

    function resume() {
      const record = fromStore(store((storage) => storage.getItem(LAST)));
      if (record && !over(record)) make(record, true, store((storage) => storage.getItem(LAST)));
    }

    function over(record) {
      return Boolean(record.ended) || (record.mode !== "test" && record.marked.length >= record.set.count);
    }

    // `again` is whether a set that is done with is shown as it was left, in the tab where it was done. A form
    // asks for it anew, and a link in another tab may be opened by somebody else.
    async function make(wanted, again, id = null) {
      making += 1;
      const mine = making;
      fill(wanted);
      const reply = await request({ action: "set", ...wanted.set });
      if (mine !== making) return;
      const errors = [...reply.errors, ...checkedMinutes(wanted.minutes)];
      refuse(errors);
      if (errors.length) return;
      const { seed, topics, level, count } = reply;
      const asked = { set: { seed, topics, level, count }, mode: wanted.mode, minutes: wanted.minutes && Number(wanted.minutes) };
      const here = again && store(() => window.sessionStorage.getItem(HERE));
      const found = id ?? ids().find((each) => same(fromStore(each), asked, each === here)) ?? null;
      const before = fromStore(found);
      const record = before || { ...asked, title: reply.title, answers: {}, hints: {}, seconds: {}, marked: [], ended: "", who: "" };
      const byNumber = new Map(reply.items.map((item) => [String(item.number), item]));
      current = { id: before ? found : null, record, items: byNumber, of: reply.marks, marks: new Map(), kept: true };
      if (before) store(() => window.sessionStorage.setItem(HERE, found));
      items.innerHTML = reply.items.map(({ html }) => html).join("");
      lay(reply.title);
      await showRecord(record);
      if (mine !== making) return;
      if (before && before.title !== reply.title) {
        notice("This set was begun with another version of the handbook: an exercise may be another one now. Your answers are as you typed them.");
      } else if (before && !again) {
        notice("You began this set before: here it is as you left it.");
      }
      part("heading").focus({ preventScroll: true });
      part("heading").scrollIntoView({ block: "start" });
    }

    function same(record, asked, done) {
      const words = ({ set, mode, minutes }) => JSON.stringify([set.seed, set.topics, set.level, set.count, mode, minutes]);
      return record && words(record) === words(asked) && (done || !over(record));
    }

    function checkedMinutes(text) {
      const most = Number(order.elements.minutes.dataset.most);
      if (text === "" || (/^\d{1,4}$/.test(text) && text >= 1 && text <= most)) return [];
      return [{ path: "minutes", text: `enter a whole number from 1 to ${most}, or leave it empty` }];
    }

    function lay(title) {
      const { record } = current;
      const test = record.mode === "test";
      items.dataset.mode = record.mode;
      part("heading").textContent = test ? "The test" : "Practice";
      part("title").textContent = title;
      part("most").textContent = current.of;
      const time = `You have ${record.minutes} minutes from the start. When they are over the fields close, and what stands in them counts.`;
      part("rules").textContent = `${record.set.count} exercises, ${current.of} marks, no hints. ${record.minutes ? time : "Take as long as you like."} `
        + "You see marks and working once you end it.";
      part("question").hidden = true;
      part("by-hand").hidden = true;
      for (const name of ["handed", "saved", "total"]) part(name).textContent = "";
      root.querySelector("#practice-who").value = record.who;
      for (const section of sections()) {
        section.querySelector("h3").tabIndex = -1;
        section.querySelector("[data-slot=marked]").tabIndex = -1;
        section.querySelector("[data-slot=hints]").setAttribute("aria-live", "polite");
      }
      writeAddress();
      stage(record.ended ? "ended" : test && !record.began ? "waiting" : "running");
      go(0);
      watchTheClock();
    }

    // The address after the # stays on the device: no server sees it.
    function writeAddress() {
      const { set, mode, minutes } = current.record;
      const all = set.topics.length === order.querySelectorAll("[name=topics]").length;
      const told = { seed: set.seed, topics: all ? "" : set.topics, level: set.level, count: set.count, mode: mode === "test" ? mode : "", minutes };
      const filled = Object.entries(told).filter(([, value]) => value);
      window.history.replaceState(null, "", `#${String(new URLSearchParams(filled)).replaceAll("%2C", ",")}`);
    }

    function refuse(errors) {
      const first = part("errors");
      first.replaceChildren();
      for (const slot of order.querySelectorAll("[data-slot^=error-]")) {
        const name = slot.dataset.slot.slice("error-".length);
        const found = errors.find(({ path }) => path === name);
        slot.textContent = found ? capitalised(found.text) : "";
        if (name !== "topics") invalid(order.elements[name], found);
        if (found) slot.closest("details")?.setAttribute("open", "");
      }
      if (!errors.length) return;
      stage("choose");
      const lead = document.createElement("p");
      lead.append(Object.assign(document.createElement("strong"), { textContent: "No set was made" }));
      first.append(lead);
      for (const { path, text } of errors) {
        const label = path && order.querySelector(`label[for=practice-${path}], #practice-${path} > summary`);
        const words = label ? `${label.textContent.split(":")[0]}: ${text}` : text;
        const line = document.createElement("p");
        if (label) line.append(Object.assign(document.createElement("a"), { href: `#practice-${path}`, textContent: words }));
        else line.textContent = words;
        first.append(line);
      }
      first.focus();
    }

    function invalid(control, is) {
      if (is) control.setAttribute("aria-invalid", "true");
      else control.removeAttribute("aria-invalid");
    }

    function capitalised(text) {
      return text.slice(0, 1).toUpperCase() + text.slice(1);
    }

    // ---- answers ----

    function sections() {
      return [...items.querySelectorAll("[data-exercise]")];
    }

    function slot(section, name) {
      return section.querySelector(`[data-slot=${name}]`);
    }

    function answerOf(section) {
      return new FormData(section.querySelector("form")).getAll("answer").join(",");
    }

    function controls(section) {
      return [...section.querySelectorAll("[name=answer]")];
    }

    function put(section, answer) {
      for (const control of controls(section)) {
        if (control.type === "text") control.value = answer;
        else control.checked = answer.split(",").includes(control.value);
      }
    }

    // Text can still be read out and copied; ticks have no such state.
    function lock(section) {
      for (const control of controls(section)) {
        if (control.type === "text") control.readOnly = true;
        else control.disabled = true;
      }
      section.dataset.locked = "";
    }

    // Brings the page to where a record stands; what stands already is left alone.
    async function showRecord(record) {
      const shown = current;
      current.record = record;
      if (record.mode === "test" && record.began && root.dataset.stage === "waiting") {
        stage("running");
        watchTheClock();
      }
      for (const section of sections()) {
        const number = section.dataset.exercise;
        const answer = current.record.answers[number] ?? ""; // what is typed meanwhile counts
        if (!section.contains(document.activeElement)) put(section, answer);
        while (slot(section, "hints").children.length < (record.hints[number] ?? 0)) {
          const which = slot(section, "hints").children.length + 1;
          const reply = await request({ action: "hint", ...record.set, number: Number(number), which });
          if (shown !== current) return;
          if (reply.errors.length) break;
          showHint(section, which, reply);
        }
        if (record.marked.includes(number) && !current.marks.has(number)) {
          const reply = await request({ action: "mark", ...record.set, number: Number(number), answer, hints: record.hints[number] ?? 0 });
          if (shown !== current) return;
          if (!reply.errors.length) showMarked(section, answer, reply);
        }
      }
      if (record.ended && root.dataset.stage !== "ended") stage("ended");
      if (record.mode === "test" && record.ended) {
        const reply = await results();
        if (shown !== current) return;
        showEnd(reply);
      }
      showTotal();
    }

    async function mark(section) {
      if (current.record.mode === "test" || "asking" in section.dataset || "locked" in section.dataset) return;
      section.dataset.asking = "";
      const number = section.dataset.exercise;
      const answer = answerOf(section);
      const shown = current;
      const reply = await request({ action: "mark", ...shown.record.set, number: Number(number), answer, hints: shown.record.hints[number] ?? 0 });
      delete section.dataset.asking;
      if (shown !== current) return;
      showError(section, reply.errors[0]);
      if (reply.errors.length) {
        controls(section)[0].focus();
        return;
      }
      change((record) => {
        record.answers[number] = answer;
        record.marked = [...new Set([...record.marked, number])];
      });
      count([{ topic: shown.items.get(number).topic, right: reply.verdict === "right", marks: reply.marks, of: reply.of }]);
      showMarked(section, answer, reply);
      showTotal();
      // The question and the answer stay in sight where there is room.
      slot(section, "marked").focus({ preventScroll: true });
      section.querySelector(".verdict").scrollIntoView({ block: "nearest" });
    }

    function showMarked(section, answer, { marks, of, html }) {
      current.marks.set(section.dataset.exercise, { marks, of });
      put(section, answer);
      lock(section);
      slot(section, "marked").innerHTML = html;
    }

    function showError(section, problem) {
      const reader = slot(section, "error");
      if (problem && !problem.path) notice(problem.text);
      reader.textContent = problem?.path ? problem.text : "";
      for (const control of controls(section)) invalid(control, problem?.path);
    }

    // In a test only whether it can be read: what came of it is not looked at.
    async function check(section) {
      const answer = answerOf(section);
      if (current?.record.mode !== "test" || !answer.trim() || !open()) return;
      const reply = await request({ action: "mark", ...current.record.set, number: Number(section.dataset.exercise), answer, hints: 0 });
      if (section.isConnected && answerOf(section) === answer) showError(section, reply.errors[0]);
    }

    async function hint(button) {
      const section = button.closest("[data-exercise]");
      const number = section.dataset.exercise;
      const which = slot(section, "hints").children.length + 1;
      const reply = await request({ action: "hint", ...current.record.set, number: Number(number), which });
      if (!section.isConnected) return;
      if (reply.errors.length) {
        notice(reply.errors[0].text);
        return;
      }
      change((record) => { record.hints[number] = Math.max(which, record.hints[number] ?? 0); });
      showHint(section, which, reply);
      if (button.hidden) controls(section)[0].focus();
    }

    function showHint(section, which, { html, left }) {
      if (slot(section, "hints").children.length < which) slot(section, "hints").insertAdjacentHTML("beforeend", html);
      section.querySelector("[data-action=hint]").hidden = !left;
    }

    function showTotal() {
      const { record, marks, items: all } = current;
      const sum = (name) => [...marks.values()].reduce((total, each) => total + each[name], 0);
      const so = `${sum("marks")} of ${sum("of")} marks`;
      let words = `${marks.size} of ${all.size} done${marks.size ? `: ${so}` : ""}.`;
      if (record.mode === "test") words = record.ended ? `${so}.` : `${all.size - unanswered().length} of ${all.size} answered.`;
      // Put there anew, the same words would be read out again.
      if (part("total").textContent !== words) part("total").textContent = words;
      showFinish();
    }

    function unanswered() {
      return [...current.items.keys()].filter((number) => !(current.record.answers[number] ?? "").trim());
    }

    // ---- one after the other, or all in one list ----

    function pages() {
      return [...sections(), part("finish")];
    }

    function go(place) {
      const all = pages();
      const at = Math.min(Math.max(place, 0), all.length - 1);
      all.forEach((each, number) => each.toggleAttribute("data-current", number === at));
      root.querySelector("[data-action=back]").disabled = at === 0;
      for (const action of ["next", "finish"]) root.querySelector(`[data-action=${action}]`).disabled = at === all.length - 1 && root.dataset.view === "one";
      return all[at];
    }

    function turn(by) {
      const all = pages();
      const from = all.findIndex((each) => each.hasAttribute("data-current"));
      const page = go(from + by);
      const heading = page.querySelector("h3");
      heading.focus({ preventScroll: true });
      heading.scrollIntoView({ block: "start" });
    }

    function showView() {
      root.dataset.view = store((storage) => storage.getItem(VIEW)) === "list" ? "list" : "one";
      const one = root.dataset.view === "one";
      root.querySelector("[data-action=view]").textContent = one ? "All in one list" : "One at a time";
      for (const action of ["back", "next"]) root.querySelector(`[data-action=${action}]`).hidden = !one;
    }

    // ---- the test: its clock and its end ----

    function open() {
      return root.dataset.stage === "running" && !late();
    }

    function deadline() {
      const { began, minutes } = current.record;
      return minutes && began ? began + minutes * 60000 : Infinity;
    }

    function late() {
      return Date.now() >= deadline();
    }

    function start() {
      change((record) => { record.touched = record.began; });
      stage("running");
      watchTheClock();
      showTotal();
      turn(0);
    }

    function watchTheClock() {
      window.clearInterval(ticking);
      part("timing").hidden = root.dataset.stage !== "running" || deadline() === Infinity;
      if (part("timing").hidden) return;
      ticking = window.setInterval(tick, 1000);
      tick();
    }

    function tick() {
      const left = Math.max(0, Math.ceil((deadline() - Date.now()) / 1000));
      part("clock").textContent = `${Math.floor(left / 60)}:${String(left % 60).padStart(2, "0")} left`;
      if (left) return;
      window.clearInterval(ticking);
      part("timing").hidden = true;
      sections().forEach(lock);
      notice("The time is up. What stands in the fields counts. End the test to see the marks.");
      showFinish();
    }

    // What is typed belongs to the time since something was typed last, wherever that was.
    function spend(record, number) {
      const now = Date.now();
      record.seconds[number] = (record.seconds[number] ?? 0) + (now - (record.touched ?? now)) / 1000;
      record.touched = now;
    }

    function showFinish() {
      const { record } = current;
      const test = record.mode === "test";
      const left = unanswered();
      part("finish-heading").textContent = test ? (record.ended ? `Result: ${part("total").textContent}` : "The end of the test") : "For the trainer";
      if (!test) part("finish-words").textContent = "The file holds the answers you had marked, and the hints you took.";
      else if (record.ended) part("finish-words").textContent = "Every exercise now shows its marks and its working.";
      else part("finish-words").textContent = left.length ? `Not answered: ${left.join(", ")}.` : "Every exercise has an answer.";
      part("ending").hidden = !test || Boolean(record.ended);
      part("handing").hidden = test && !record.ended;
    }

    function end() {
      const left = unanswered();
      if (!left.length || late()) {
        endNow();
        return;
      }
      const many = left.length === 1 ? "One exercise has" : `${left.length} exercises have`;
      part("question-words").textContent = `${many} no answer: ${left.join(", ")}. After the end nothing can be entered.`;
      part("question").hidden = false;
      root.querySelector("[data-action=go-on]").focus();
    }

    async function endNow() {
      const shown = current;
      const ended = today();
      const reply = await results(ended);
      if (shown !== current || current.record.ended) return;
      if (reply.errors.length) {
        notice(reply.errors[0].text);
        return;
      }
      change((record) => { record.ended = ended; });
      stage("ended");
      showEnd(reply);
      showTotal();
      const answered = reply.items.filter(({ number }) => (current.record.answers[number] ?? "").trim());
      count(answered.map(({ number, marks, of }) => ({ topic: current.items.get(String(number)).topic, right: marks === of, marks, of })));
      const place = go(pages().length - 1).querySelector("h3");
      place.focus({ preventScroll: true });
      place.scrollIntoView({ block: "start" });
    }

    function showEnd(reply) {
      window.clearInterval(ticking);
      part("timing").hidden = true;
      part("question").hidden = true;
      if (reply.errors.length) {
        notice(reply.errors[0].text);
        return;
      }
      notice("");
      for (const item of reply.items) {
        const section = sections().find((each) => each.dataset.exercise === String(item.number));
        if (section && !current.marks.has(section.dataset.exercise)) showMarked(section, current.record.answers[item.number] ?? "", item);
      }
    }

    // ---- the file for the trainer ----

    function today() {
      const now = new Date();
      return new Date(now - now.getTimezoneOffset() * 60000).toISOString().slice(0, 10);
    }

    function results(date = current.record.ended || today()) {
      const { record } = current;
      const test = record.mode === "test";
      const answers = [...current.items.keys()].filter((number) => test || record.marked.includes(number)).map((number) => ({
        number: Number(number),
        answer: record.answers[number] ?? "",
        hints: record.hints[number] ?? 0,
        seconds: test ? Math.round(record.seconds[number] ?? 0) : null,
      }));
      return request({ action: "results", ...record.set, who: record.who, date, timed: Boolean(record.minutes), answers });
    }

    async function handOver(button) {
      const reply = await results();
      const [problem] = reply.errors;
      root.querySelector("[data-slot=error-who]").textContent = problem ? capitalised(problem.text) : "";
      if (problem) return;
      if (button.dataset.action === "save") {
        const link = document.createElement("a");
        link.href = URL.createObjectURL(new Blob([reply.text], { type: "application/json" }));
        link.download = reply.name;
        link.click();
        window.setTimeout(() => URL.revokeObjectURL(link.href), 10000);
        part("handed").textContent = `Saved as ${reply.name}.`;
        return;
      }
      const done = await copied(reply.text);
      part("by-hand").hidden = done;
      part("handed").textContent = done ? "Copied: paste it into a message to your trainer." : "The browser would not copy it. Take it from the field below.";
      if (done) return;
      const field = root.querySelector("#practice-by-hand");
      field.value = reply.text;
      field.focus();
      field.select();
    }

    // ---- progress and sets on the device ----

    function count(done) {
      const progress = parsed(PROGRESS) ?? {};
      for (const { topic, right, marks, of } of done) {
        const before = progress[topic] ?? { right: 0, done: 0, marks: 0, of: 0 };
        progress[topic] = { right: before.right + Number(right), done: before.done + 1, marks: before.marks + marks, of: before.of + of };
      }
      store((storage) => storage.setItem(PROGRESS, JSON.stringify(progress)));
      showProgress();
    }

    function showProgress() {
      const progress = parsed(PROGRESS) ?? {};
      for (const row of root.querySelectorAll("[data-topic]")) {
        const found = progress[row.dataset.topic];
        row.querySelector("[data-part=right]").textContent = found ? `${found.right} of ${found.done}` : "not yet";
        row.querySelector("[data-part=marks]").textContent = found ? `${found.marks} of ${found.of}` : "";
      }
    }

    function listSets() {
      const sets = ids().map((id) => [id, fromStore(id)]).filter(([, record]) => record);
      part("sets-fold").hidden = !sets.length;
      part("sets").replaceChildren(...sets.map(([id, record]) => {
        const line = document.createElement("li");
        const button = Object.assign(document.createElement("button"), { type: "button", textContent: over(record) ? "Look at it" : "Go on" });
        Object.assign(button.dataset, { action: "open", id });
        const day = new Date(record.began).toLocaleDateString("en-GB", { day: "numeric", month: "long", year: "numeric" });
        const told = `${record.mode === "test" ? "Test" : "Practice"} of ${day}. ${record.title}`;
        const words = Object.assign(document.createElement("span"), { id: `practice-set-${id}`, textContent: told });
        button.setAttribute("aria-describedby", words.id);
        line.append(words, button);
        return line;
      }));
    }

    function ask(yes) {
      part("forget-question").hidden = !yes;
      part("forgetting").hidden = yes;
      if (yes) part("forget-question").querySelector("p").focus();
      else root.querySelector("[data-action=forget]").focus();
    }

    function forget() {
      store((storage) => [...ids().map((id) => KEY + id), LAST, PROGRESS].forEach((key) => storage.removeItem(key)));
      window.history.replaceState(null, "", window.location.pathname + window.location.search);
      choose();
      showProgress();
      ask(false);
      part("forgotten").textContent = "Removed. Nothing of yours is kept here now.";
    }

    // ---- the page ----

    function stage(name) {
      root.dataset.stage = name;
      order.hidden = name !== "choose";
      part("set").hidden = name === "choose";
      part("waiting").hidden = name !== "waiting";
      part("bar").hidden = name === "waiting";
      listSets();
      if (name === "choose") {
        making += 1; // what is still being made is not wanted any more
        current = null;
        items.replaceChildren();
        window.clearInterval(ticking);
      }
      notice("");
      showState();
    }

    function choose() {
      stage("choose");
      order.querySelector("[name=mode]:checked").focus({ preventScroll: true });
      root.scrollIntoView({ block: "start" });
    }

    function freshSeed() {
      const drawn = window.crypto.getRandomValues(new Uint32Array(6));
      return Array.from(drawn, (number) => SEED_LETTERS[number % SEED_LETTERS.length]).join("");
    }

    function showChosen() {
      const chosen = [...order.querySelectorAll("[name=topics]:checked")].map((box) => box.labels[0].textContent.trim());
      part("chosen").textContent = chosen.join(", ") || "all";
    }

    function showState() {
      sayState(root);
      part("to-read").hidden = python.state !== "failed" || root.dataset.stage !== "choose";
    }

    function notice(words) {
      part("notice").textContent = words;
    }

    async function copyLink(button) {
      const fromDisk = window.location.protocol === "file:";
      const done = await copied(fromDisk ? part("title").textContent : window.location.href);
      if (!done) passing(button, fromDisk ? "Not copied: the line above names the set" : "Not copied: take it from the address bar");
      else passing(button, fromDisk ? "Copied the line above: from disk there is no link for others" : "Copied");
    }

    function listen() {
      order.addEventListener("focusin", () => python.start(), { once: true });
      order.addEventListener("input", showChosen);
      order.addEventListener("submit", (event) => {
        event.preventDefault();
        make(typed(), false);
      });
      order.addEventListener("click", (event) => {
        const path = event.target.closest(".error-summary a")?.getAttribute("href");
        if (!path) return;
        event.preventDefault();
        const place = order.querySelector(path);
        (place.querySelector("summary") ?? place).focus();
      });
      items.addEventListener("input", ({ target }) => {
        const section = target.closest("[data-exercise]");
        const number = section.dataset.exercise;
        if (root.dataset.stage === "running" && late()) {
          put(section, current.record.answers[number] ?? "");
          tick();
          return;
        }
        change((record) => {
          record.answers[number] = answerOf(section);
          if (record.mode === "test") spend(record, number);
        });
        showTotal();
      });
      items.addEventListener("change", ({ target }) => check(target.closest("[data-exercise]")));
      items.addEventListener("focusin", ({ target }) => go(pages().indexOf(target.closest("[data-exercise]"))));
      items.addEventListener("submit", (event) => {
        event.preventDefault();
        if (current.record.mode === "test") turn(1);
        else mark(event.target.closest("[data-exercise]"));
      });
      root.querySelector("#practice-who").addEventListener("input", ({ target }) => change((record) => { record.who = target.value; }));
      part("sets-fold").addEventListener("toggle", listSets);
      window.addEventListener("storage", hearOtherWindow);
      window.addEventListener("hashchange", readAddress);
      actions(root, {
        hint,
        start,
        choose,
        end,
        link: copyLink,
        print: () => window.print(),
        save: handOver,
        copy: handOver,
        fresh: () => { order.elements.seed.value = freshSeed(); },
        back: () => turn(-1),
        next: () => turn(1),
        finish: () => turn(Infinity),
        open: (button) => make(fromStore(button.dataset.id), true, button.dataset.id),
        view: () => {
          store((storage) => storage.setItem(VIEW, root.dataset.view === "one" ? "list" : "one"));
          showView();
          go(pages().findIndex((each) => each.hasAttribute("data-current")));
        },
        clock: (button) => {
          part("clock").hidden = !part("clock").hidden;
          button.textContent = part("clock").hidden ? "Show the clock" : "Hide the clock";
        },
        "go-on": () => {
          part("question").hidden = true;
          root.querySelector("[data-action=end]").focus();
        },
        "end-now": endNow,
        forget: () => ask(true),
        keep: () => ask(false),
        "forget-now": forget,
      });
    }
  }

  // ---- the trainer's view ----

  // The files are in this list and nowhere else.
  function read(root) {
    const part = (name) => root.querySelector(`[data-part=${name}]`);
    const chooser = root.querySelector("[data-action=open]");
    const pasted = root.querySelector("#trainer-pasted");
    const clear = root.querySelector("[data-action=clear]");
    let files = [];

    python.onchange(() => sayState(root));
    sayState(root);
    chooser.addEventListener("change", async () => {
      const chosen = [...chooser.files];
      chooser.value = "";
      const small = chosen.filter(({ size }) => size <= FILE_MOST);
      const large = chosen.filter((file) => !small.includes(file)).map(({ name }) => `${name} is too large to be results.`);
      await add(await Promise.all(small.map(async (file) => ({ name: file.name, text: await file.text() }))), large);
    });
    actions(root, {
      paste: async () => {
        if (!pasted.value.trim()) {
          say("Nothing is pasted yet: put the text into the field first.");
          pasted.focus();
        } else if (await add([{ name: "what was pasted", text: pasted.value }])) {
          pasted.value = "";
        }
      },
      clear: () => {
        files = [];
        part("view").replaceChildren();
        pasted.value = "";
        clear.disabled = true;
        say("All of it is cleared.");
        chooser.focus();
      },
    });

    async function add(more, refused = []) {
      const all = [...files, ...more];
      const reply = all.length ? await request({ action: "view", files: all }) : { errors: [], html: "", notes: [], read: 0 };
      if (reply.errors.length) {
        say(reply.errors[0].text);
        return false;
      }
      files = all;
      clear.disabled = !all.length;
      part("view").innerHTML = reply.html;
      const noted = reply.notes.length ? ` ${reply.notes.length === 1 ? "One note stands" : `${reply.notes.length} notes stand`} below.` : "";
      say([`Results read: ${reply.read}.${noted}`, ...refused].join(" "));
      part("read").focus();
      return true;
    }

    function say(words) {
      part("read").textContent = words;
    }
  }
})();
