// Compressing files, and naming them after what is in them.
import { createHash } from "node:crypto";
import { mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { gzipSync } from "node:zlib";

// gzip with nothing in its header that tells when or where it was made.
export function packed(bytes) {
  const result = gzipSync(bytes, { level: 9 });
  result.fill(0, 4, 8);
  result[9] = 255;
  return result;
}

export function hashOf(bytes) {
  return createHash("sha256").update(bytes).digest("hex").slice(0, 16);
}

// Writes `bytes` as STEM-HASH.EXTENSION and returns that name.
export function writeHashed(folder, stem, extension, bytes) {
  const name = `${stem}-${hashOf(bytes)}.${extension}`;
  writeFileSync(join(folder, name), bytes);
  return name;
}

// A page opened from disk may read nothing but scripts, so each file is there as a script too:
// disk/NAME.js hands the page NAME and its gzip as base64.
export function writeForDisk(folder, names) {
  mkdirSync(join(folder, "disk"), { recursive: true });
  for (const name of names) {
    const content = readFileSync(join(folder, name));
    const base64 = (name.endsWith(".gz") ? content : packed(content)).toString("base64");
    writeFileSync(join(folder, "disk", `${name}.js`), `Handbook.python.take(${JSON.stringify(name)}, "${base64}");\n`);
  }
}
