/* The fields of a stop's form, read and written by their names; what is wrong, told beside them. */

export const form = document.getElementById("entry");
const NOT_ENTERED = new Set(["csrf_token", "once_key", "seen", "now", "press"]);

/** The controls that make up the entry. */
export function controls(within = form) {
  const all = [...within.querySelectorAll("input[name], textarea[name], select[name]")];
  return all.filter((one) => one.type !== "file" && !NOT_ENTERED.has(one.name) && !one.closest("[disabled]"));
}

/** What a field says, as its form would send it. */
export function value(control) {
  if (control.type === "checkbox") return control.checked ? control.value : "";
  if (control.type === "radio") return form.querySelector(`[name="${control.name}"]:checked`)?.value ?? "";
  return control.value.trim();
}

/** Make the fields say what is kept. What nobody entered yet stays as the page has it, to be compared. */
export function fill(values) {
  for (const control of form.querySelectorAll("input[name], textarea[name]")) {
    if (!(control.name in values) || control === document.activeElement) continue;
    const text = values[control.name];
    if (control.type === "checkbox") control.checked = Boolean(text);
    else if (control.type === "radio") control.checked = control.value === text;
    else if (control.value.trim() !== text) control.value = text;
  }
}

/** Everything the fields say, by name. */
export const typed = (within) => Object.fromEntries(controls(within).map((one) => [one.name, value(one)]));

function holder(name) {
  const control = form.querySelector(`[name="${CSS.escape(name)}"]`);
  return [control, control?.closest(".field, .choices")];
}

/** Tell what is wrong beside a field; nothing takes it away. */
export function tell(name, says, held = true) {
  const [control, field] = holder(name);
  if (!field) return;
  const id = `${name.replace(/\./g, "-")}-error`;
  let line = field.querySelector(".field__error");
  if (!says) {
    if (line?.dataset.scripted) line.remove();
    field.classList.toggle("field--wrong", Boolean(field.querySelector(".field__error")));
    return;
  }
  if (!line) {
    line = document.createElement("p");
    line.className = "field__error";
    line.id = id;
    line.dataset.scripted = "yes";
    const before = field.querySelector(".control, .choices__list, .tick");
    before.before(line);
    const described = control.getAttribute("aria-describedby");
    control.setAttribute("aria-describedby", described ? `${described} ${id}` : id);
  }
  line.dataset.held = held ? "yes" : "";
  field.classList.add("field--wrong");
  if (line.textContent !== says) line.textContent = says;
}

/** A field that two phones differ on is the office's to decide: it is shown, and not to be changed. */
export function lock(name, locked) {
  for (const control of form.querySelectorAll(`[name="${CSS.escape(name)}"]`)) {
    control.disabled = locked;
    control.dataset.locked = locked ? "yes" : "";
  }
}
