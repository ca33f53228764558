// Serves the copy of the handbook that this device keeps. It downloads nothing and decides
// nothing: assets/js/offline.js fills a cache with one whole version, checked, and only then
// names it in the record read here. What that version does not hold comes from the network.
//
// The same in every version. It shares with offline.js the names of the caches, the record
// {active, previous} and the word `fresh`.
"use strict";

const SCOPE = self.registration.scope;
const PREFIX = `handbook ${new URL(SCOPE).pathname} `;
const RECORD = `${SCOPE}offline-record`;
// Names that change with their content, such as handbook.0123456789abcdef.css.
const LASTING = /[.-][0-9a-f]{8,64}(\.[a-z0-9]+)+$/;

self.addEventListener("install", () => self.skipWaiting());
self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const url = new URL(request.url);
  // `fresh` asks past the copy: so come the files of the next version.
  if (request.method !== "GET" || !url.href.startsWith(SCOPE) || url.searchParams.has("fresh")) return;
  event.respondWith(answer(request, url));
});

async function answer(request, url) {
  const address = url.origin + url.pathname.replace(/\/$/, "/index.html");
  const held = await kept(address);
  if (held) return held;
  try {
    return await fetch(request);
  } catch (error) {
    const missing = request.mode === "navigate" && await kept(`${SCOPE}404.html`);
    if (missing) return new Response(missing.body, { status: 404, headers: missing.headers });
    throw error;
  }
}

// Storage may be refused or emptied at any time; then the network is still there.
async function kept(address) {
  try {
    const record = await (await caches.open(`${PREFIX}record`)).match(RECORD);
    if (!record) return undefined;
    const { active, previous } = await record.json();
    const held = active && await from(active, address);
    // A page opened before the switch may still want its own files. Only those with a lasting
    // name: of anything else two versions would mix.
    return held || (previous && LASTING.test(address) ? await from(previous, address) : undefined);
  } catch {
    return undefined;
  }
}

async function from(version, address) {
  return (await caches.open(`${PREFIX}${version}`)).match(address);
}
