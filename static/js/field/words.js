/* What the script says, from the page, in the reader's language. */

const told = document.getElementById("field-words");

/** A sentence by its name, its {names} filled in. */
export function word(name, values = {}) {
  const text = told.getAttribute(`data-${name}`) ?? name;
  return text.replace(/\{(\w+)\}/g, (whole, key) => values[key] ?? whole);
}

const clock = new Intl.DateTimeFormat(document.documentElement.lang, {
  hour: "numeric", minute: "2-digit", timeZone: "UTC",
});

/** A time of day, in minutes, as the reader reads one: 8:42 AM. */
export const asRead = (minutes) => clock.format(new Date((minutes % (24 * 60)) * 60_000)).replace("\u202f", " ");

/** Put a sentence somewhere; nothing hides the place. Said once, not again while it stays the same. */
export function put(place, text) {
  if (!place || place.textContent === text) return;
  place.textContent = text;
  place.hidden = !text;
}
