/* The plan draws itself while its takeoff is typed in.

   Sends the form, as it stands, to the same engine that *Draw it again* and *Work it out* ask, and puts what
   comes back in its places (templates/shared/redrawn.html): every story's plan, and the figures of a whole
   house. It writes into no field, moves neither focus nor scroll, tells no error and keeps nothing. Where it
   gets no answer the page stays as it is; without it the buttons do the same. What can be tapped and dragged on
   the plan is laid over it by the other scripts, each time it was redrawn. */

import "./takeoff-board.js";
import "./takeoff-drag.js";
import "./takeoff-siding.js";

const PAUSE = 250;
const form = document.querySelector("form[data-redraw]");
const section = form.querySelector("[data-figures]");
const before = form.querySelector("[data-before]");
const said = form.querySelector("[data-said]");
let waiting = 0;
let asked = new AbortController();

const OWN_WAY = ["figures", "now"];
const byKey = (key) => form.querySelector(`[data-key="${CSS.escape(key)}"]`);

function place(name) {
  return form.querySelector(`[data-part="${name}"]`);
}

/** The four as they stand: label to amount. */
function amounts(part) {
  const text = (figure, name) => figure.querySelector(name).textContent.replace(/\s+/g, " ").trim();
  const figures = part ? [...part.querySelectorAll(".figure")] : [];
  return new Map(figures.map((one) => [text(one, ".figure__label"), text(one, ".figure__amount")]));
}

/** Whether a new plan lacks a row that the old one has, because that row is being typed just now. */
function lacks(part, old) {
  const lessRead = Number(part.dataset.read) < Number(old.dataset.read);
  return part.dataset.by === old.dataset.by && part.dataset.read !== part.dataset.rows && lessRead;
}

function put(part) {
  const old = place(part.dataset.part);
  // What is being dragged must not be taken out of the hand; it is drawn when it is let go.
  if (!old || lacks(part, old) || old.querySelector("[data-held]")) return;
  Object.assign(old.dataset, part.dataset);
  old.replaceChildren(...part.childNodes);
}

/** The figures, with what was opened still open and the focus where it was. */
function putFigures(part) {
  const opened = () => [...section.querySelectorAll("details")];
  const open = opened().map((one) => one.open);
  const focused = opened().findIndex((one) => one.contains(document.activeElement));
  put(part);
  opened().forEach((one, at) => (one.open = open[at] ?? false));
  if (focused >= 0) opened()[focused]?.querySelector("summary").focus({ preventScroll: true });
}

/** Say the figures that are not what they were, and only those. */
function say(old, now) {
  const changed = [...now].filter(([label, amount]) => old.get(label) !== amount);
  if (changed.length) said.textContent = changed.map((one) => one.join(": ")).join(". ");
}

function show(answer) {
  const key = document.activeElement?.dataset.key;
  for (const part of answer.querySelectorAll("[data-part]")) if (!OWN_WAY.includes(part.dataset.part)) put(part);
  form.dispatchEvent(new Event("redrawn"));
  if (key && document.activeElement === document.body) byKey(key)?.focus({ preventScroll: true });
  const figures = answer.querySelector('[data-part="figures"]');
  before.hidden = figures !== null;
  if (!figures) {
    place("now").replaceChildren();
    return;
  }
  const [old, now] = [amounts(section), amounts(figures)];
  putFigures(figures);
  put(answer.querySelector('[data-part="now"]'));
  section.hidden = false;
  form.querySelector("[data-send]").hidden = false;
  form.querySelector("[data-work]").classList.remove("button--go");
  say(old, now);
}

/** What the engine makes of the form as it stands; null where it was overtaken, refused or out of reach. */
async function answered() {
  asked = new AbortController();
  const sent = { method: "POST", body: new URLSearchParams(new FormData(form)), signal: asked.signal };
  try {
    const answer = await fetch(form.dataset.redraw, sent);
    return answer.ok ? await answer.text() : null;
  } catch {
    return null;
  }
}

async function redraw(typedIn) {
  const answer = await answered();
  if (answer === null) return;
  const top = typedIn.getBoundingClientRect().top;
  show(new DOMParser().parseFromString(answer, "text/html"));
  // What grew above the field that is typed in must not push it away.
  window.scrollBy({ top: typedIn.getBoundingClientRect().top - top, behavior: "instant" });
}

function stop() {
  clearTimeout(waiting);
  asked.abort();
}

form.addEventListener("input", ({ target }) => {
  if (!target.name?.startsWith("levels[")) return;
  stop();
  waiting = setTimeout(() => redraw(target), PAUSE);
});
form.addEventListener("submit", stop);
