/* Moves and sizes rectangles on the plan, by pointer and by the arrow keys, in steps of 6 inches.

   Typed figures lead: what is dragged is written into the fields of its row, as one would type it, and only into
   those that it changes. Another rectangle's edge within a step is taken exactly, so that two that should touch
   leave no slit. While something is dragged the drawing keeps still; it is drawn anew when it is let go. */

const STEP = 0.5;
const FAR = 5;
const SIXTEENTHS = 192;
const form = document.querySelector("form[data-redraw]");
/** Rectangles as they were changed since the last drawing: the row's name to its feet. */
const changed = new Map();
let drag = null;

const feetOf = ({ width, depth, west, south }) =>
  Object.fromEntries(Object.entries({ width, depth, west, south }).map(([key, text]) => [key, Number(text)]));
const now = (grip) => changed.get(grip.dataset.row) ?? feetOf(grip.dataset);
const near = (a, b) => Math.abs(a - b) < 1e-4;

/** 32' 6", to the sixteenth of an inch. */
function typed(feet) {
  const parts = Math.round(Math.abs(feet) * SIXTEENTHS);
  const [whole, inches, rest] = [Math.floor(parts / SIXTEENTHS), Math.floor((parts % SIXTEENTHS) / 16), parts % 16];
  const size = rest ? 16 / (rest & -rest) : 1;
  const shown = [inches || !rest ? inches : "", rest ? `${(rest * size) / 16}/${size}` : ""].filter((one) => one !== "");
  const text = `${whole}'${inches || rest ? ` ${shown.join(" ")}"` : ""}`;
  return parts ? (feet < 0 ? "-" : "") + text : "0";
}

/** The edges of the other rectangles along an axis, of those that a tape could have measured. */
function edges(grip, start, size) {
  const others = grip.closest(".board__over").querySelectorAll('[data-grip="move"]');
  return [...others]
    .filter((one) => one.dataset.row !== grip.dataset.row)
    .flatMap((one) => [now(one)[start], now(one)[start] + now(one)[size]])
    .filter((edge) => near(edge * SIXTEENTHS, Math.round(edge * SIXTEENTHS)));
}

/** Where an edge that was dragged to `raw` comes to stand. */
function snapped(raw, others) {
  const close = others.filter((edge) => Math.abs(edge - raw) < STEP).sort((a, b) => Math.abs(a - raw) - Math.abs(b - raw));
  return close[0] ?? Math.round(raw / STEP) * STEP;
}

/** One axis of a rectangle after a drag by so many feet; as it was where that is less than half a step. */
function along(grip, old, by, start, size) {
  if (Math.abs(by) < STEP / 2) return old;
  const others = edges(grip, start, size);
  if (grip.dataset.grip === "size") {
    const far = snapped(old[start] + old[size] + by, others);
    return { ...old, [size]: Math.max(far - old[start], STEP) };
  }
  const [low, high] = [snapped(old[start] + by, others), snapped(old[start] + old[size] + by, others) - old[size]];
  const took = (at, edge) => others.some((one) => near(one, edge)) && at;
  const lowTook = took(true, low);
  const highTook = took(true, high + old[size]);
  return { ...old, [start]: highTook && !lowTook ? high : low };
}

const moved = (grip, old, east, north) => along(grip, along(grip, old, east, "west", "width"), north, "south", "depth");

/** One step of an arrow key: to the next 6 inches, or 5 feet on. */
function stepped(value, way, far) {
  if (far) return Math.round((value + way * FAR) / STEP) * STEP;
  return way > 0 ? Math.floor(value / STEP + 1e-6) * STEP + STEP : Math.ceil(value / STEP - 1e-6) * STEP - STEP;
}

/** Show where it would stand: a dashed frame over the drawing. */
function ghost(grip, feet) {
  const over = grip.closest(".board__over");
  const frame = over.querySelector(".board__ghost") ?? over.appendChild(document.createElement("div"));
  const middle = over.querySelector(`[data-grip="move"][data-row="${CSS.escape(grip.dataset.row)}"]`);
  const drawn = feetOf(middle.dataset);
  const across = 100 / Number(over.dataset.feetWide);
  const down = (across * over.clientWidth) / over.clientHeight;
  const east = feet.west - drawn.west - drawn.width / 2;
  const north = feet.south + feet.depth - drawn.south - drawn.depth / 2;
  frame.className = "board__ghost";
  frame.style.left = `${Number(middle.dataset.x) + east * across}%`;
  frame.style.top = `${Number(middle.dataset.y) - north * down}%`;
  frame.style.width = `${feet.width * across}%`;
  frame.style.height = `${feet.depth * down}%`;
}

const unghost = (grip) => grip.closest(".board__over")?.querySelector(".board__ghost")?.remove();

/** Write what changed into the row's fields, and have it drawn. */
function write(grip, before, feet) {
  const fields = Object.keys(feet).filter((key) => !near(feet[key], before[key]));
  for (const key of fields) form.elements[`${grip.dataset.row}.${key}`].value = typed(feet[key]);
  if (!fields.length) return;
  changed.set(grip.dataset.row, feet);
  form.elements[`${grip.dataset.row}.${fields[0]}`].dispatchEvent(new Event("input", { bubbles: true }));
}

function take(event) {
  const grip = event.target.closest(".board__grip");
  if (!grip || event.button !== 0) return;
  const over = grip.closest(".board__over");
  const feetPerPixel = Number(over.dataset.feetWide) / over.clientWidth;
  drag = { grip, from: now(grip), to: now(grip), x: event.clientX, y: event.clientY, feetPerPixel };
  grip.dataset.held = "";
  grip.setPointerCapture(event.pointerId);
}

function pull(event) {
  if (!drag) return;
  const { grip, from, x, y, feetPerPixel } = drag;
  drag.to = moved(grip, from, (event.clientX - x) * feetPerPixel, (y - event.clientY) * feetPerPixel);
  ghost(grip, drag.to);
}

function letGo(keep) {
  if (!drag) return;
  const { grip, from, to } = drag;
  drag = null;
  delete grip.dataset.held;
  if (!keep || Object.keys(to).every((key) => near(to[key], from[key]))) unghost(grip);
  else write(grip, from, to);
}

const WAYS = { ArrowRight: ["west", "width", 1], ArrowLeft: ["west", "width", -1],
  ArrowUp: ["south", "depth", 1], ArrowDown: ["south", "depth", -1] };

function byKey(event) {
  if (event.key === "Escape") letGo(false);
  const grip = event.target.closest(".board__grip");
  if (!grip || !(event.key in WAYS)) return;
  event.preventDefault();
  const [start, size, way] = WAYS[event.key];
  const key = grip.dataset.grip === "size" ? size : start;
  const before = now(grip);
  const value = stepped(before[key], way, event.shiftKey);
  const after = { ...before, [key]: key === size ? Math.max(value, STEP) : value };
  write(grip, before, after);
  ghost(grip, after);
}

form.addEventListener("pointerdown", take);
form.addEventListener("pointermove", pull);
form.addEventListener("pointerup", () => letGo(true));
form.addEventListener("pointercancel", () => letGo(false));
form.addEventListener("keydown", byKey);
form.addEventListener("redrawn", () => changed.clear());
