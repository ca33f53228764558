// Compressing files, and naming them after what is in them.
import { createHash } from "node:crypto";
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { gzipSync } from "node:zlib";

// gzip with nothing in its header that tells when or where it was made.
export function packed(bytes) {
  const result = gzipSync(bytes, { level: 9 });
  result.fill(0, 4, 8);
  result[9] = 255;
  return result;
}

// Writes `bytes` as STEM-HASH.EXTENSION and returns that name.
export function writeHashed(folder, stem, extension, bytes) {
  const hash = createHash("sha256").update(bytes).digest("hex").slice(0, 16);
  const name = `${stem}-${hash}.${extension}`;
  writeFileSync(join(folder, name), bytes);
  return name;
}
