/* The coat clock on the page: how long until the second coat, what to spray next, one button to start and stop. */

import { drying, inOrder, minutes, nextCoat, readCoats } from "./coats.js";
import { form } from "./fields.js";
import { asRead, put, word } from "./words.js";

const panel = document.getElementById("coat-clock");
const dry = Number(form.dataset.dry);
const zoned = new Intl.DateTimeFormat("en-GB", {
  timeZone: form.dataset.zone, hour12: false, hour: "2-digit", minute: "2-digit", second: "2-digit",
  year: "numeric", month: "2-digit", day: "2-digit",
});

/** What day and time it is where the office is, by this phone's clock. */
export function here(now = new Date()) {
  const found = Object.fromEntries(zoned.formatToParts(now).map(({ type, value }) => [type, value]));
  const clock = `${found.hour === "24" ? "00" : found.hour}:${found.minute}`;
  const day = `${found.year}-${found.month}-${found.day}`;
  return { day, clock, seconds: minutes(clock) * 60 + Number(found.second) };
}

const blocks = () => [...form.querySelectorAll("[data-coat]")];
const where = (key) => form.querySelector(`[data-coat="${CSS.escape(key)}"]`)?.dataset.where ?? "";

/** Whether a stretch takes two coats: as it is found, else as it was quoted. */
function twice(key, values) {
  const wall = form.querySelector(`[data-found="${CSS.escape(key)}"]`);
  return Boolean(wall) && (values[`found.${key}`] || wall.dataset.quoted) === "sided";
}

/** The coats as far as they have come. */
export function coatsOf(values) {
  const stretches = blocks().map((block) => ({
    key: block.dataset.coat,
    turn: Number(block.dataset.turn),
    place: Number(block.dataset.place),
    twice: twice(block.dataset.coat, values),
  }));
  return readCoats(stretches, values);
}

/** The stretches in the order of spraying, each with the second coat's times only where it takes one. */
export function arrange(values) {
  const ordered = inOrder(coatsOf(values));
  const sorted = ordered.map((coat) => form.querySelector(`[data-coat="${CSS.escape(coat.key)}"]`));
  if (blocks().some((block, n) => block !== sorted[n]) && !document.activeElement?.closest("[data-coat]")) {
    sorted[0]?.parentElement.append(...sorted);
  }
  for (const coat of ordered) {
    const second = form.querySelector(`[data-coat="${CSS.escape(coat.key)}"] [data-second]`);
    if (second) second.hidden = second.disabled = !coat.twice;
    const help = second?.querySelector(".field__help");
    const [, ended] = coat.first;
    if (help && ended !== null) put(help, word("not-before", { time: asRead(ended + dry) }));
  }
}

function line(className, text) {
  const found = document.createElement("p");
  found.className = className;
  found.textContent = text;
  return found;
}

const face = (seconds) => `${Math.floor(seconds / 60)}:${String(Math.floor(seconds % 60)).padStart(2, "0")}`;

/** The largest thing on the page: minutes and seconds until the next second coat, or of what is sprayed now. */
function large(waiting, doing, seconds) {
  if (waiting) return [word(waiting.at * 60 > seconds ? "wait" : "due", { where: where(waiting.key) }), waiting.at * 60 - seconds];
  if (doing.act !== "finish") return ["", -1];
  return [word("running", { where: where(doing.key), coat: word(doing.coat), time: asRead(doing.since) }), seconds - doing.since * 60];
}

function saying(doing) {
  if (doing.act === "done") return word("done");
  const values = { where: where(doing.key), coat: word(doing.coat) };
  if (doing.act === "wait") return word("next-wait", { ...values, time: asRead(doing.at) });
  if (doing.act === "finish") return word("running", { ...values, time: asRead(doing.since) });
  return word("next", values);
}

let shown = "";

/** Draw the clock as it is now. The button is drawn anew only where it does something else. */
export function tick(values) {
  const { seconds } = here();
  const coats = coatsOf(values);
  const doing = nextCoat(coats, Math.floor(seconds / 60), dry);
  const [about, left] = large(drying(coats, dry)[0], doing, seconds);
  const time = panel.querySelector(".coat-clock__time");
  panel.classList.toggle("coat-clock--wait", doing.act === "wait");
  const state = JSON.stringify([doing, about]);
  if (state === shown && time) {
    time.textContent = face(Math.max(0, left));
    return;
  }
  shown = state;
  const parts = [];
  if (about) {
    const clock = document.createElement("p");
    clock.className = "coat-clock__face";
    const time = clock.appendChild(document.createElement("span"));
    time.className = "coat-clock__time";
    time.setAttribute("role", "timer");
    time.textContent = face(Math.max(0, left));
    parts.push(line("coat-clock__about", about), clock);
  }
  parts.push(line("coat-clock__next", saying(doing)));
  if (["first", "second", "finish"].includes(doing.act)) parts.push(press(doing));
  panel.replaceChildren(...parts);
}

function press(doing) {
  const button = document.createElement("button");
  const at = doing.key === "interior" ? "interior" : `${doing.coat}.${doing.key}`;
  const ends = doing.act === "finish";
  Object.assign(button, { type: "submit", className: "button button--go", name: "now" });
  button.value = `${at}.${ends ? "end" : "start"}`;
  button.textContent = word(ends ? "stop" : "start");
  button.dataset.press = "yes";
  return button;
}
