// The interpreter without what only libraries need that are linked while it runs, of which the handbook has none.
// For them its machine exports 8500 functions and tables, and at every start its script gives each a name and a
// place. What is taken away is what the scripts name nowhere else, so nothing but such a library could ask for it.
import { copyFileSync, mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";

const SCRIPT = "pyodide.asm.mjs";
const MACHINE = "pyodide.asm.wasm";
const LOADER = "pyodide.js";
const AS_THEY_ARE = [LOADER, "pyodide.mjs", "pyodide-lock.json"];

const NAMING = "function assignWasmExports(wasmExports){";
const AFTER_NAMING = "}var wasmImports={";
const NAME = /[\w$]+/g;

const EXPORTS = 7;

// Copies the interpreter from `folder` to `output`, all but the library.
export function copyTrimmed(folder, output) {
  mkdirSync(output, { recursive: true });
  for (const name of AS_THEY_ARE) copyFileSync(join(folder, name), join(output, name));
  const { script, isKept } = trimmedScript(readFileSync(join(folder, SCRIPT), "utf8"), readFileSync(join(folder, LOADER), "utf8"));
  writeFileSync(join(output, SCRIPT), script);
  writeFileSync(join(output, MACHINE), trimmedMachine(readFileSync(join(folder, MACHINE)), isKept));
}

// Of the script: one list of variables, and the function after it that fills each from an export, as in
//   var _malloc,_free;function assignWasmExports(wasmExports){_malloc=Module["_malloc"]=wasmExports["malloc"]; ...}
function trimmedScript(script, loader) {
  const naming = onlyPlace(script, NAMING);
  const from = naming + NAMING.length;
  const to = onlyPlace(script, AFTER_NAMING);
  const list = script.lastIndexOf("var ", naming) + "var ".length;
  const listEnd = naming - 1;
  const variables = script.slice(list, listEnd).split(",");
  const odd = variables.find((each) => !/^[\w$]+$/.test(each));
  if (odd || script[listEnd] !== ";") throw new Error(`before ${NAMING} stands no list of variables: read what changed`);

  const others = namesIn(script.slice(0, list), script.slice(listEnd, from), script.slice(to), loader);
  const isKept = (name) => others.has(name) || others.has(`_${name}`);
  const kept = script.slice(from, to).split(";").filter((statement) => isKept(exportIn(statement)));
  const used = namesIn(...kept);
  const parts = [
    script.slice(0, list),
    variables.filter((each) => others.has(each) || used.has(each)).join(),
    script.slice(listEnd, from),
    kept.join(";"),
    script.slice(to),
  ];
  return { script: parts.join(""), isKept };
}

function onlyPlace(text, part) {
  const place = text.indexOf(part);
  if (place < 0 || text.includes(part, place + 1)) throw new Error(`${part} does not occur once in ${SCRIPT}: read what changed`);
  return place;
}

function namesIn(...texts) {
  return new Set(texts.flatMap((text) => text.match(NAME) ?? []));
}

function exportIn(statement) {
  const found = /^[\w$=[\]"]+=wasmExports\["([^"]+)"\](?:\.value>>>0)?$/.exec(statement);
  if (!found) throw new Error(`${statement} fills nothing from an export: read what changed`);
  return found[1];
}

// The same bytes, but for the section of exports (WebAssembly Core Specification, 5.5).
function trimmedMachine(wasm, isKept) {
  let at = 8;
  const number = () => {
    let value = 0;
    for (let shift = 0; ; shift += 7) {
      const byte = wasm[at++];
      value += (byte & 0x7f) * 2 ** shift;
      if (byte < 0x80) return value;
    }
  };
  const parts = [wasm.subarray(0, at)];
  while (at < wasm.length) {
    const start = at;
    const id = wasm[at++];
    const size = number();
    const end = at + size;
    if (id === EXPORTS) {
      const kept = [];
      for (let left = number(); left > 0; left -= 1) {
        const entry = at;
        const length = number();
        const name = wasm.toString("utf8", at, at += length);
        at += 1;
        number();
        if (isKept(name)) kept.push(wasm.subarray(entry, at));
      }
      const content = Buffer.concat([encoded(kept.length), ...kept]);
      parts.push(Buffer.of(EXPORTS), encoded(content.length), content);
    } else {
      parts.push(wasm.subarray(start, end));
    }
    at = end;
  }
  return Buffer.concat(parts);
}

function encoded(number) {
  const bytes = [];
  for (let rest = number; ; rest = Math.floor(rest / 128)) {
    if (rest < 128) return Buffer.of(...bytes, rest);
    bytes.push(rest % 128 + 128);
  }
}
