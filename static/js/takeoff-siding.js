/* A wall of the plan is tapped, or chosen by the keyboard, and its siding is chosen: what each would do to the
   price stands beside it. What is chosen is written into the form's own selects, which do the same by themselves.
   On rectangles a wall is one of its face; on a walk it is itself. */

const form = document.querySelector("form[data-redraw]");
const template = document.getElementById("siding-chooser");
const FACES = ["north", "east", "south", "west"];
let open = null;

const leading = (wall) => wall.closest("[role=toolbar]").querySelector(`button[data-field="${CSS.escape(wall.dataset.field)}"]`);
const level = (field) => field.slice(0, field.indexOf("]") + 1);

/** The faces that are not chosen yet have what is chosen for all around. */
function fillFaces(story) {
  const around = form.elements[`${story}.siding`]?.value;
  for (const face of FACES) {
    const select = form.elements[`${story}.siding.${face}`];
    if (around && !select.value) select.value = around;
  }
}

function choose(field, status) {
  const story = level(field);
  if (field.startsWith(`${story}.siding.`)) {
    if (form.elements[`${story}.siding.by`].value !== "face") {
      // Until now every face had what was chosen for all around, whatever the selects held.
      const around = form.elements[`${story}.siding`].value;
      for (const face of FACES) form.elements[`${story}.siding.${face}`].value = around;
      form.elements[`${story}.siding.by`].value = "face";
    }
    fillFaces(story);
  }
  form.elements[field].value = status;
  form.elements[field].dispatchEvent(new Event("input", { bubbles: true }));
}

function close(back) {
  if (!open) return;
  const { box, field } = open;
  open = null;
  box.remove();
  const wall = form.querySelector(`button.board__wall[data-field="${CSS.escape(field)}"]`);
  form.querySelectorAll(".board__wall--chosen").forEach((one) => one.classList.remove("board__wall--chosen"));
  if (back) wall?.focus({ preventScroll: true });
}

function show(wall) {
  close(false);
  const box = template.content.firstElementChild.cloneNode(true);
  const { field, name, status } = wall.dataset;
  box.querySelector(".chooser__name").textContent = name;
  box.setAttribute("aria-label", name);
  for (const one of box.querySelectorAll("[data-status]")) {
    one.setAttribute("aria-pressed", one.dataset.status === status);
    one.querySelector(".chooser__does").textContent = wall.dataset[one.dataset.status];
  }
  wall.closest(".takeoff__plan").firstElementChild.after(box);
  for (const one of wall.parentElement.children) one.classList.toggle("board__wall--chosen", one.dataset.field === field);
  open = { box, field };
  const first = box.querySelector('[aria-pressed="true"]') ?? box.querySelector("[data-status]");
  first.focus();
}

form.addEventListener("click", ({ target }) => {
  const wall = target.closest(".board__wall");
  const one = target.closest(".chooser [data-status]");
  if (wall) show(leading(wall));
  else if (one) {
    const { field } = open;
    close(true);
    choose(field, one.dataset.status);
  } else if (target.closest(".chooser [data-close]")) close(true);
});
form.addEventListener("keydown", (event) => {
  if (event.key === "Escape" && open) close(true);
});
form.addEventListener("change", ({ target }) => {
  if (target.name?.endsWith(".siding.by") && target.value === "face") fillFaces(level(target.name));
});
/* A wall chosen while the plan is drawn anew keeps its mark. */
form.addEventListener("redrawn", () => {
  if (!open) return;
  const wall = form.querySelector(`button.board__wall[data-field="${CSS.escape(open.field)}"]`);
  if (!wall) close(false);
  else for (const one of wall.parentElement.children) one.classList.toggle("board__wall--chosen", one.dataset.field === open.field);
});
