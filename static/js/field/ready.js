/* My stops: keeps those of today and tomorrow on the phone, says how many are ready, sends what waits. */

import { PAGES, dropOnLeaving } from "./leave.js";
import { holdFast, roomLeft } from "./room.js";
import { send } from "./send.js";
import { belongTo, jobsHere, stopOf, waiting } from "./store.js";
import { put, word } from "./words.js";

const place = document.getElementById("ready");
const signal = document.getElementById("signal");
const { person, stops } = place.dataset;
const wanted = place.dataset.ready.split(" ").filter(Boolean);

/** Keep a page as it is now; false where it cannot be had. */
async function keep(cache, address) {
  try {
    const answer = await fetch(address, { cache: "no-store", redirect: "error" });
    if (answer.ok) await cache.put(address, answer);
    return answer.ok;
  } catch {
    return false;
  }
}

async function makeReady() {
  if (await belongTo(person)) await caches.delete(PAGES);
  await navigator.serviceWorker.register("/field-worker.js", { scope: stops });
  await navigator.serviceWorker.ready;
  const cache = await caches.open(PAGES);
  for (const kept of await cache.keys()) {
    const { pathname } = new URL(kept.url);
    if (navigator.onLine && pathname !== stops && !wanted.includes(pathname)) await cache.delete(kept);
  }
  for (const address of [stops, ...wanted]) await keep(cache, address);
  const kept = await Promise.all(wanted.map((address) => cache.match(address)));
  const n = kept.filter(Boolean).length;
  const name = n < wanted.length ? "not-ready" : n === 1 ? "ready-one" : "ready";
  put(place, wanted.length ? word(name, { n, all: wanted.length }) : "");
}

async function tellWaiting() {
  for (const line of document.querySelectorAll("[data-stop]")) {
    const { entries, photos } = await waiting(line.dataset.stop, person);
    const { mark } = await stopOf(line.dataset.stop);
    const n = entries.length + photos.length + (mark ? 1 : 0);
    put(line.querySelector("[data-waiting]"), n ? word("waiting-here", { n }) : "");
  }
}

async function sendAll() {
  let trouble = "";
  for (const job of (await jobsHere(person)).own) trouble = (await send(job, stops, person)) || trouble;
  const { own, others } = await jobsHere(person);
  const tell = own.length && trouble && trouble !== "treated";
  put(signal, tell ? word(trouble, { n: own.length }) : others ? word("others-here") : await roomLeft());
  await tellWaiting();
  return trouble === "treated";
}

async function begin() {
  dropOnLeaving(signal);
  await holdFast();
  await makeReady();
  await tellWaiting();
  if (await sendAll()) location.reload();
  addEventListener("online", sendAll);
}

if (isSecureContext && navigator.serviceWorker && globalThis.indexedDB) begin();
