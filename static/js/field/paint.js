/* The page as it stands: steps done and next, walls on the plan, photos, what is wrong, what is still to be sent. */

import { arrange, tick } from "./clock.js";
import { fill, form, lock, tell } from "./fields.js";
import { thumbnail } from "./photos.js";
import { put, word } from "./words.js";

const signal = document.getElementById("signal");

const photographed = new Set();
for (const place of form.querySelectorAll("[data-photo]")) {
  if (place.querySelector(".thumbs")) photographed.add(place.dataset.photo);
}

/** Whether a wall is found otherwise than quoted. */
function differs(wall, values) {
  const found = values[`found.${wall.dataset.found}`];
  return Boolean(found) && found !== wall.dataset.quoted;
}

/** The fields that a step needs as it stands: photos and second coats by what was found. */
function needs(step, values) {
  if (step.dataset.step === "coats") {
    const shown = [...step.querySelectorAll("[data-coat] input[name]")].filter((one) => !one.closest("[disabled]"));
    return shown.map((one) => one.name);
  }
  const names = step.dataset.needs.split(" ").filter((name) => name && !name.startsWith("photo."));
  if (step.dataset.step !== "walls") return names;
  const walls = [...step.querySelectorAll("[data-found]")].filter((wall) => differs(wall, values));
  return [...names, ...walls.map((wall) => `photo.${wall.dataset.found}`)];
}

const holds = (name, values) =>
  name.startsWith("photo.") ? photographed.has(name.slice(6)) : Boolean(values[name]?.trim());

function isDone(step, values) {
  return needs(step, values).every((name) => holds(name, values));
}

/** The first step of these that is not done; its words. */
export function notDone(keys, values) {
  const open = keys.map((key) => form.querySelector(`[data-step="${key}"]`)).find((step) => !isDone(step, values));
  return open?.querySelector("h2").textContent ?? "";
}

function steps(values) {
  const found = [...form.querySelectorAll("[data-step]")];
  const done = new Map(found.map((step) => [step.dataset.step, isDone(step, values)]));
  done.set("remarks", done.get("sign"));
  const next = [...done].find(([, is]) => !is)?.[0];
  for (const [key, is] of done) {
    const how = is ? "done" : key === next ? "next" : "open";
    const item = document.querySelector(`[data-of="${key}"]`);
    item.className = `steps__one steps__one--${how}`;
    put(item.querySelector(".steps__how"), word(`step-${how}`));
  }
}

function walls(values) {
  form.querySelector("[data-plans]").dataset.plans = "told";
  for (const wall of form.querySelectorAll("[data-found]")) {
    const other = differs(wall, values);
    wall.querySelector("[data-differs]").hidden = !other && !photographed.has(wall.dataset.found);
    const [level, , ...mark] = wall.dataset.found.split(".");
    for (const drawn of form.querySelectorAll(`[data-stretch="${CSS.escape(mark.join("."))}"]`)) {
      if (!drawn.closest("svg").getAttribute("aria-labelledby").startsWith(`plan-${level}-`)) continue;
      drawn.classList.toggle("wall--told", Boolean(values[`found.${wall.dataset.found}`]));
      drawn.classList.toggle("wall--differs", other);
    }
  }
  const left = [...form.querySelectorAll("[data-found]")].filter((wall) => !values[`found.${wall.dataset.found}`]);
  const button = form.querySelector("[data-as-quoted]");
  if (button) button.hidden = !left.length;
}

/** A field for what a photo of a problem shows, as the page has it beside the photos that were sent. */
function wordsOf(photo) {
  const field = Object.assign(document.createElement("div"), { className: "field" });
  const input = Object.assign(document.createElement("input"), {
    type: "text", name: `words.${photo.id}`, id: `words-${photo.id}`, maxLength: 500,
  });
  const label = Object.assign(document.createElement("label"), { htmlFor: input.id, className: "field__label" });
  label.textContent = word("photo-words");
  const control = Object.assign(document.createElement("div"), { className: "control" });
  control.append(input);
  field.append(label, control);
  return field;
}

/** A photo that is kept here, until it was sent and the page has its own. */
export async function showPhoto(photo) {
  photographed.add(photo.wall);
  const place = form.querySelector(`[data-photo="${CSS.escape(photo.wall)}"]`);
  if (!place || place.querySelector(`[data-kept="${photo.id}"]`)) return;
  const list = place.querySelector(".thumbs") ?? place.appendChild(Object.assign(document.createElement("ul"), { className: "thumbs" }));
  const item = list.appendChild(document.createElement("li"));
  item.dataset.kept = photo.id;
  if (!photo.wall) {
    list.classList.add("thumbs--told");
    item.append(wordsOf(photo));
  }
  item.prepend(await thumbnail(photo.blob, word("photo-kept")));
}

/** Mark walls as photographed of which the photos were sent. */
export const haveSent = (sent) => sent.forEach((wall) => photographed.add(wall));

function wrong(stop) {
  for (const line of form.querySelectorAll("[data-scripted]")) {
    const name = line.id.slice(0, -"-error".length);
    const still = Object.keys({ ...stop.refused, ...stop.conflicts }).some((at) => at.replace(/\./g, "-") === name);
    if (!still && !line.dataset.held) line.remove();
  }
  for (const [name, says] of Object.entries(stop.refused)) tell(name, word("refused", { says }), false);
  for (const [name, values] of Object.entries(stop.conflicts)) {
    const both = values.map((one) => `“${one}”`).join(", ");
    tell(name, word("differs", { values: both }), false);
  }
  for (const control of form.querySelectorAll("[name]")) {
    if (control.name in stop.conflicts) lock(control.name, true);
    else if (control.dataset.locked) lock(control.name, false);
  }
}

/** Draw all of it. */
export function paint(stop) {
  fill(stop.values);
  arrange(stop.values);
  walls(stop.values);
  wrong(stop);
  steps(stop.values);
  tick(stop.values);
}

/** What is missing where the mark was refused: told at the top, each leading to its field. */
export function missing(list) {
  document.getElementById("error-summary")?.remove();
  if (!list?.length) return;
  const box = document.createElement("div");
  Object.assign(box, { className: "problems", id: "error-summary", tabIndex: -1 });
  box.setAttribute("role", "alert");
  const items = list.map(({ at, says }) => {
    const link = Object.assign(document.createElement("a"), { href: `#${at.replace(/\./g, "-")}`, textContent: says });
    const item = document.createElement("li");
    item.append(link);
    return item;
  });
  const all = document.createElement("ul");
  all.append(...items);
  box.append(Object.assign(document.createElement("h2"), { textContent: word("missing") }), all);
  document.querySelector(".sheet__head").before(box);
  box.focus();
}

/** The line that says what is still to be sent, and why it was not yet. */
export function sayWaiting(n, trouble, stop, note, little) {
  const minutes = Math.round((stop.offset ?? 0) / 60);
  const lines = [note || (n ? word(trouble || "to-send", { n }) : trouble ? word(trouble, { n }) : word("all-sent"))];
  if (little) lines.push(little);
  if (stop.mark) lines.push(word("mark-kept"));
  if (stop.late) lines.push(word("late"));
  if (Math.abs(minutes) > 3) lines.push(word("clock", { n: Math.abs(minutes) }));
  put(signal, lines.join(" "));
  signal.classList.toggle("signal--waiting", n > 0 || Boolean(trouble || note || little));
  if (trouble !== "sign-in") return;
  const back = encodeURIComponent(location.pathname);
  signal.append(" ", Object.assign(document.createElement("a"), { href: `/sign-in?next=${back}`, textContent: word("sign-in-link") }));
}
