/* What the script says, from the page, in the reader's language. */

const told = document.getElementById("field-words");

/** A sentence by its name, its {names} filled in. */
export function word(name, values = {}) {
  const text = told.getAttribute(`data-${name}`) ?? name;
  return text.replace(/\{(\w+)\}/g, (whole, key) => values[key] ?? whole);
}

/** Put a sentence somewhere; nothing hides the place. Said once, not again while it stays the same. */
export function put(place, text) {
  if (!place || place.textContent === text) return;
  place.textContent = text;
  place.hidden = !text;
}
