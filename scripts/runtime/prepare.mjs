// node prepare.mjs INTERPRETER SITE_PACKAGES OUTPUT
// Makes what changes only with the interpreter and the packages: OUTPUT/library.zip, every module compiled, and
// OUTPUT/interpreter, which lacks what the page has no use for.
import { mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { endWithReason, startPython } from "./python.mjs";
import { copyTrimmed } from "./trimmed.mjs";

async function prepare(interpreter, sitePackages, output) {
  mkdirSync(output, { recursive: true });
  copyTrimmed(interpreter, join(output, "interpreter"));
  const python = await startPython(interpreter);
  python.mountNodeFS("/packages", sitePackages);
  python.runPython(readFileSync(new URL("compiling.py", import.meta.url), "utf8"));
  python.runPython(readFileSync(new URL("prepare.py", import.meta.url), "utf8"));
  python.globals.get("prepare")("/lib/python314.zip", "/packages", "/library.zip");
  writeFileSync(join(output, "library.zip"), python.FS.readFile("/library.zip"));
}

prepare(...process.argv.slice(2)).catch(endWithReason);
