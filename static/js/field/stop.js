/* One stop, in a house without a signal: whatever is entered is kept on the phone at once and sent when it can be.

   The form works as it is; this takes its presses over where the browser can keep what is entered. */

import { here, tick } from "./clock.js";
import { minutes, tooEarly } from "./coats.js";
import { controls, form, lock, tell, typed, value } from "./fields.js";
import { dropOnLeaving } from "./leave.js";
import { haveSent, missing, notDone, paint, sayWaiting, showPhoto } from "./paint.js";
import { shrink } from "./photos.js";
import { holdFast, roomLeft } from "./room.js";
import { offerScan } from "./scan.js";
import { look, send } from "./send.js";
import { keepEntry, keepMark, keepPhoto, learn, stopOf, waiting } from "./store.js";
import { asRead, word } from "./words.js";

const { stop: job, person, stops, dry } = form.dataset;
const signal = document.getElementById("signal");
const AGAIN = 10_000;
const LOOK = 60_000;
const PAUSE = 400;
/** What has to be done before anything is sprayed. */
const FIRST = ["site", "cautions", "ready"];
let trouble = "";
let note = "";
let little = "";
let values = {};

async function show() {
  const stop = await stopOf(job);
  const left = await waiting(job, person);
  values = stop.values;
  for (const photo of left.photos) await showPhoto(photo);
  haveSent(stop.sentPhotos ?? []);
  paint(stop);
  sayWaiting(left.entries.length + left.photos.length, trouble, stop, note, little);
  return stop;
}

/** Send what waits. What is refused or missing is shown where it stands. */
async function sendAll() {
  trouble = await send(job, stops, person, () => {});
  if (trouble === "treated") {
    location.reload();
    return;
  }
  const stop = await show();
  if (stop.missing) missing(stop.missing);
}

/** What another phone entered here meanwhile, or the office picked. */
async function lookAgain() {
  if (document.visibilityState !== "visible") return;
  await look(job, stops, person);
  await show();
}

/** Keep a field's value; a phone that is full says so, and leaves the field as it was typed. */
async function keep(name, text) {
  try {
    await keepEntry(job, person, name, text);
    note = "";
    little = await roomLeft();
  } catch {
    note = word("full");
    await show();
    return false;
  }
  return true;
}

async function keepAll(within = form) {
  for (const [name, text] of Object.entries(typed(within))) if (!(await keep(name, text))) return false;
  return true;
}

async function kept() {
  await show();
  sendAll();
}

/** A press on *Now*, *Start* or *Stop*: the time it is, unless that cannot be yet. */
async function pressed(at) {
  const { clock } = here();
  const [coat, , ...rest] = at.split(".");
  const wall = at.slice(coat.length + 1, at.lastIndexOf("."));
  const step = at.endsWith(".start") ? notDone(FIRST, values) : "";
  const early = coat === "second" && at.endsWith(".start") ? tooEarly(values, wall, clock, Number(dry)) : "";
  if (step || early) {
    tell(at, step ? word("before", { step }) : word("early", { time: asRead(minutes(early)) }));
    document.getElementById(at.replace(/\./g, "-"))?.scrollIntoView({ block: "center" });
    return;
  }
  tell(at, "");
  await keep(at, clock);
  await kept();
}

async function arrived() {
  const { day, clock } = here();
  await keep("day", day);
  await keep("arrived", clock);
  await kept();
}

async function asQuoted() {
  for (const wall of form.querySelectorAll("[data-found]")) {
    const name = `found.${wall.dataset.found}`;
    if (!values[name]) await keep(name, wall.dataset.quoted);
  }
  await kept();
}

async function marked() {
  if (!(await keepAll())) return;
  await keepMark(job, person);
  missing(null);
  await kept();
}

async function onTo(button) {
  if (!(await keepAll(button.closest("[data-step]")))) return;
  document.getElementById(button.dataset.on).scrollIntoView();
  await kept();
}

/** A field was changed: kept at once, but for the letters of a word that is being typed. */
let typing = 0;
async function changed({ target }) {
  if (target.type === "file") {
    await photographed(target);
    return;
  }
  if (!controls().includes(target)) return;
  clearTimeout(typing);
  const name = target.name;
  const wall = name.startsWith("second.") && name.endsWith(".start") ? name.slice(7, -6) : "";
  const early = wall ? tooEarly(values, wall, value(target), Number(dry)) : "";
  tell(name, early ? word("early", { time: asRead(minutes(early)) }) : "");
  if (early) return;
  if (await keep(name, value(target))) await kept();
}

async function photographed(input) {
  const wall = input.closest("[data-photo]").dataset.photo;
  for (const file of input.files) {
    let blob;
    try {
      blob = await shrink(file);
    } catch {
      tell(input.name, word("photo-bad"));
      continue;
    }
    try {
      await keepPhoto({ job, person, wall, words: "", blob });
      note = "";
      tell(input.name, "");
    } catch {
      note = word("full");
    }
  }
  input.value = "";
  little = await roomLeft();
  await kept();
}

function submitted(event) {
  event.preventDefault();
  const button = event.submitter;
  if (button?.name === "now") pressed(button.value);
  else if (button?.dataset.arrive) arrived();
  else if (button?.dataset.asQuoted) asQuoted();
  else if (button?.dataset.on) onTo(button);
  else if (button && !button.hasAttribute("formaction")) marked();
  else keepAll().then(kept);
}

/** A wall tapped on the plan leads to what it is asked. */
function tapped({ target }) {
  const drawn = target.closest?.("[data-stretch]");
  if (!drawn) return;
  const [, level] = /^plan-(\d+)-/.exec(drawn.closest("svg").getAttribute("aria-labelledby")) ?? [];
  const all = [...form.querySelectorAll("[data-found]")].filter(({ dataset: { found: wall } }) => {
    const [one, , ...mark] = wall.split(".");
    return one === level && mark.join(".") === drawn.dataset.stretch;
  });
  const wall = all.find((one) => !values[`found.${one.dataset.found}`]) ?? all[0];
  wall?.querySelector("input[type=radio]").focus();
  wall?.scrollIntoView({ block: "center" });
}

async function begin() {
  try {
    await learn(job, JSON.parse(form.dataset.known));
  } catch {
    note = word("full");
  }
  form.addEventListener("submit", submitted);
  form.addEventListener("change", changed);
  form.addEventListener("input", ({ target }) => {
    clearTimeout(typing);
    if (target.matches("textarea, input:not([type])")) typing = setTimeout(() => changed({ target }), PAUSE);
    if (target.matches("input[type=text]")) typing = setTimeout(() => changed({ target }), PAUSE);
  });
  form.querySelector("[data-plans]").addEventListener("click", tapped);
  addEventListener("online", sendAll);
  addEventListener("pagehide", () => clearTimeout(typing));
  setInterval(() => tick(values), 1000);
  setInterval(sendAll, AGAIN);
  setInterval(lookAgain, LOOK);
  dropOnLeaving(signal);
  await holdFast();
  offerScan(form.querySelector("[data-scan]"), form.querySelector("video.scan"), (text) => {
    const field = form.querySelector('[name="container_lot"]');
    field.value = text;
    changed({ target: field });
  }, signal);
  little = await roomLeft();
  await show();
  document.documentElement.dataset.kept = "yes";
  await sendAll();
}

if (isSecureContext && globalThis.indexedDB && crypto.randomUUID) begin();
