/* Moves a stop on the schedule of crew days, by pointer and by the arrow keys, and books it by the page's own form.

   Along its row a stop is dragged to another day, down onto a technician's line to that technician too. With the
   keyboard: left and right a day, up and down a technician, Enter books, Escape leaves it as it was. What is
   moved has to say why, so there the form is filled in and asks; what is booked for the first time is sent. */

const A_DAY = 24 * 60 * 60 * 1000;
const SLACK = 4;
const figure = document.getElementById("chart");
const form = document.getElementById("crew-form");
const say = document.getElementById("chart-say");
const fields = Object.fromEntries(["lot", "technician", "day", "kind"].map((key) => [key, form.elements[`crew-${key}`]]));
const technicians = [...fields.technician.options].map(({ value, text }) => ({ value, text })).filter(({ value }) => value);
let held = null;
let dragged = false;

const chartOf = (stop) => stop.ownerSVGElement;
const dayAt = (chart, n) => new Date(Date.parse(`${chart.dataset.first}T00:00:00Z`) + n * A_DAY).toISOString().slice(0, 10);
const placeOf = (chart, day) => Math.round((Date.parse(`${day}T00:00:00Z`) - Date.parse(`${chart.dataset.first}T00:00:00Z`)) / A_DAY);
const kept = (n, most) => Math.min(Math.max(n, 0), most);
const nameOf = (id) => technicians.find(({ value }) => value === id)?.text ?? figure.dataset.sayNobody;
const spoken = (day) =>
  new Intl.DateTimeFormat(document.documentElement.lang, { dateStyle: "full", timeZone: "UTC" }).format(new Date(`${day}T00:00:00Z`));

/** Take a stop up as it is booked; one that is not stands before the first day on which it could be. */
function take(stop) {
  if (held?.stop === stop) return held;
  leave();
  const { day, technician } = stop.dataset;
  const only = technicians.length === 1 ? technicians[0].value : "";
  held = { stop, n: day ? placeOf(chartOf(stop), day) : null, technician: technician || only, from: { day, technician } };
  stop.classList.add("chart__stop--held");
  return held;
}

/** Put the held stop down as it was. */
function leave() {
  if (!held) return;
  held.stop.classList.remove("chart__stop--held");
  held.stop.removeAttribute("transform");
  figure.querySelectorAll(".chart__line--under").forEach((line) => line.classList.remove("chart__line--under"));
  held = null;
}

function drawn() {
  const chart = chartOf(held.stop);
  const { left, aDay } = chart.dataset;
  const box = held.stop.querySelector("rect");
  const x = Number(left) + held.n * Number(aDay) - (Number(box.getAttribute("x")) - (Number(aDay) - Number(box.getAttribute("width"))) / 2);
  held.stop.setAttribute("transform", `translate(${x} 0)`);
}

function tell() {
  const words = { lot: held.stop.dataset.name, day: spoken(dayAt(chartOf(held.stop), held.n)), name: nameOf(held.technician) };
  say.textContent = figure.dataset.sayOn.replace(/\{(\w+)\}/g, (_all, key) => words[key]);
}

/** Fill in the form with what is held; send it where nothing is left to say. */
function book() {
  const { stop, n, technician, from } = held;
  const day = dayAt(chartOf(stop), n);
  if (day === from.day && technician === from.technician) {
    leave();
    say.textContent = figure.dataset.sayLeft;
    return;
  }
  fields.lot.value = stop.dataset.lot;
  fields.technician.value = technician;
  fields.day.value = day;
  const asks = from.day ? fields.kind : technician ? null : fields.technician;
  leave();
  if (!asks) {
    form.requestSubmit();
    return;
  }
  asks.scrollIntoView({ block: "center" });
  asks.focus();
}

/** The first day on which a stop that is not booked could be: none before today's week begins, or framing is done. */
function firstPlace(stop) {
  const chart = chartOf(stop);
  const opens = stop.dataset.opens ? placeOf(chart, stop.dataset.opens) : 0;
  return kept(opens, Number(chart.dataset.days) - 1);
}

const STEPS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };

function pressed(event) {
  const stop = event.target.closest?.("[data-lot]");
  if (!stop) return;
  if (event.key === "Escape" && held) {
    leave();
    say.textContent = figure.dataset.sayLeft;
  } else if (event.key === "Enter" && held?.stop === stop && held.n !== null) {
    event.preventDefault();
    book();
  } else if (STEPS[event.key] && !event.altKey && !event.ctrlKey && !event.metaKey) {
    event.preventDefault();
    const [days, people] = STEPS[event.key];
    const most = Number(chartOf(stop).dataset.days) - 1;
    const now = take(stop);
    now.n = now.n === null ? firstPlace(stop) : kept(now.n + days, most);
    if (people) {
      const at = technicians.findIndex(({ value }) => value === now.technician);
      const next = at < 0 ? (people > 0 ? 0 : technicians.length - 1) : (at + people + technicians.length) % technicians.length;
      now.technician = technicians[next].value;
    }
    drawn();
    tell();
  }
}

/** Where the pointer is on the drawing, in its own units. */
function on(chart, event) {
  return new DOMPoint(event.clientX, event.clientY).matrixTransform(chart.getScreenCTM().inverse());
}

function began(event) {
  const stop = event.target.closest?.("[data-lot]");
  dragged = false;
  if (!stop || event.button !== 0) return;
  const start = { x: event.clientX, y: event.clientY };
  const move = (moving) => {
    if (!dragged && Math.hypot(moving.clientX - start.x, moving.clientY - start.y) < SLACK) return;
    dragged = true;
    over(stop, moving);
  };
  const end = (ending) => {
    removeEventListener("pointermove", move);
    removeEventListener("pointerup", end);
    removeEventListener("pointercancel", end);
    if (!dragged) return;
    if (ending.type === "pointerup" && held?.n !== null) book();
    else leave();
  };
  addEventListener("pointermove", move);
  addEventListener("pointerup", end);
  addEventListener("pointercancel", end);
}

/** A stop is dragged over the drawing: to the day under the pointer, and to the technician whose line that is. */
function over(stop, event) {
  const chart = chartOf(stop);
  const { left, aDay, days } = chart.dataset;
  const now = take(stop);
  const { x } = on(chart, event);
  if (x < Number(left)) {
    now.n = now.from.day ? kept(placeOf(chart, now.from.day), Number(days) - 1) : null;
  } else {
    now.n = kept(Math.floor((x - Number(left)) / Number(aDay)), Number(days) - 1);
  }
  const line = [...chart.querySelectorAll("[data-technician].chart__line")].find((one) => {
    const { top, bottom } = one.getBoundingClientRect();
    return event.clientY >= top && event.clientY <= bottom;
  });
  figure.querySelectorAll(".chart__line--under").forEach((one) => one.classList.remove("chart__line--under"));
  line?.classList.add("chart__line--under");
  now.technician = line ? line.dataset.technician : now.from.technician || (technicians.length === 1 ? technicians[0].value : "");
  if (now.n === null) stop.removeAttribute("transform");
  else {
    drawn();
    tell();
  }
}

if (figure) {
  figure.addEventListener("keydown", pressed);
  figure.addEventListener("pointerdown", began);
  // A link under the pointer would be taken along as a link, and followed where it is let go.
  figure.addEventListener("dragstart", (event) => event.preventDefault());
  figure.addEventListener("click", (event) => {
    if (dragged) event.preventDefault();
    dragged = false;
  });
  figure.addEventListener("focusout", () => {
    if (held && !dragged) leave();
  });
}
