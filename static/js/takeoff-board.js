/* Lays what can be taken hold of over the plan: walls to tap, rectangles to drag.

   The page brings these places with their words (templates/shared/takeoff_plan.html), hidden; here they are put
   where they belong, in hundredths of the drawing. The walls of a plan are one stop of the Tab key: the arrow
   keys go from wall to wall. */

const form = document.querySelector("form[data-redraw]");
/** The wall that Tab comes to, by its toolbar's place on the page. */
const stops = new Map();

export const toolbars = () => [...form.querySelectorAll(".board__over [role=toolbar]")];
export const wallsOf = (toolbar) => [...toolbar.querySelectorAll("button.board__wall")];

function put(one) {
  const { x, y, long, turn } = one.dataset;
  one.style.left = `${x}%`;
  one.style.top = `${y}%`;
  if (long) one.style.width = `${long}%`;
  if (turn) one.style.rotate = `${turn}deg`;
}

function oneStop(toolbar, at) {
  const walls = wallsOf(toolbar);
  const stop = walls.find((one) => one.dataset.key === stops.get(at)) ?? walls[0];
  for (const wall of walls) wall.tabIndex = wall === stop ? 0 : -1;
}

export function lay() {
  form.querySelectorAll(".board__over [data-x]").forEach(put);
  form.querySelectorAll(".board__over, .board__help").forEach((one) => (one.hidden = false));
  toolbars().forEach(oneStop);
}

function goTo(toolbar, wall) {
  const at = toolbars().indexOf(toolbar);
  stops.set(at, wall.dataset.key);
  oneStop(toolbar, at);
  wall.focus();
}

const NEXT = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 };

form.addEventListener("keydown", (event) => {
  const wall = event.target.closest("button.board__wall");
  if (!wall || !(event.key in NEXT)) return;
  event.preventDefault();
  const toolbar = wall.closest("[role=toolbar]");
  const walls = wallsOf(toolbar);
  goTo(toolbar, walls.at((walls.indexOf(wall) + NEXT[event.key]) % walls.length));
});
form.addEventListener("redrawn", lay);
lay();
