/* The service worker of the field pages. EDITION and FILES stand before this, put there by the address that
   hands it out. It keeps our css, fonts and scripts of one edition, and answers with a kept page where there
   is no signal. Which pages are kept is for My stops to say: only the technician's own of today and tomorrow. */

/* global EDITION, FILES */
const SHELL = `sillbook-shell-${EDITION}`;
const PAGES = "sillbook-stops";
/** Longer than this, and a bad signal is none: the kept page is shown, and what was entered is sent later. */
const PATIENCE = 6000;

addEventListener("install", (event) => {
  const requests = FILES.map((address) => new Request(address, { cache: "reload" }));
  event.waitUntil(caches.open(SHELL).then((shell) => shell.addAll(requests)).then(() => skipWaiting()));
});

addEventListener("activate", (event) => {
  const old = (names) => names.filter((name) => name.startsWith("sillbook-shell-") && name !== SHELL);
  const drop = async () => Promise.all(old(await caches.keys()).map((name) => caches.delete(name)));
  event.waitUntil(drop().then(() => clients.claim()));
});

const late = (ms) => new Promise((_, reject) => setTimeout(() => reject(new Error("late")), ms));

async function page(request) {
  const pages = await caches.open(PAGES);
  const { pathname } = new URL(request.url);
  const kept = await pages.match(pathname);
  try {
    const answer = await (kept ? Promise.race([fetch(request), late(PATIENCE)]) : fetch(request));
    // Kept anew only where it was kept before; a stop that is no longer one's own is dropped.
    if (kept && answer.ok) await pages.put(pathname, answer.clone());
    if (kept && answer.status === 404) await pages.delete(pathname);
    return answer;
  } catch {
    return kept ?? (await pages.match("/stops")) ?? Response.error();
  }
}

async function file(request) {
  const shell = await caches.open(SHELL);
  return (await shell.match(request, { ignoreSearch: true })) ?? fetch(request);
}

addEventListener("fetch", (event) => {
  const { request } = event;
  const { origin, pathname } = new URL(request.url);
  if (request.method !== "GET" || origin !== location.origin) return;
  if (request.mode === "navigate") event.respondWith(page(request));
  else if (FILES.includes(pathname)) event.respondWith(file(request));
});
