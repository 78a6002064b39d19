/* The coat clock's rule, for a house without a signal: the same as portal/core/treatment/coats.py, and held to
   it by a test that asks both the same. Times are minutes of the day. */

/** Minutes of the day of a time as it is typed, 08:40, or null. */
export function minutes(text) {
  const found = /^([01]\d|2[0-3]):([0-5]\d)$/.exec((text ?? "").trim());
  return found ? Number(found[1]) * 60 + Number(found[2]) : null;
}

/** A time of day as it is typed. */
export const asClock = (at) => `${String(Math.floor(at / 60)).padStart(2, "0")}:${String(at % 60).padStart(2, "0")}`;

/** How far the coats have come: `stretches` are key, turn, place and whether they take two. */
export function readCoats(stretches, values) {
  const span = (at) => ["start", "end"].map((edge) => minutes(values[`${at}.${edge}`]));
  return stretches.map((one) => ({
    ...one,
    first: span(one.key === "interior" ? "interior" : `first.${one.key}`),
    second: span(`second.${one.key}`),
  }));
}

/** In the order of their first coats: those that take two by their turn, then the rest as they stand. */
export const inOrder = (coats) => [
  ...coats.filter((coat) => coat.twice).sort((one, other) => one.turn - other.turn),
  ...coats.filter((coat) => !coat.twice).sort((one, other) => one.place - other.place),
];

/** What to do at `now`: finish, first, second, wait or done, and of which stretch. */
export function nextCoat(coats, now, dry) {
  const ordered = inOrder(coats);
  for (const coat of ordered) {
    for (const name of ["first", "second"]) {
      const [start, end] = coat[name];
      if (start !== null && end === null && (name === "first" || coat.twice)) {
        return { act: "finish", key: coat.key, coat: name, since: start };
      }
    }
  }
  const open = ordered.find((coat) => coat.first[1] === null);
  if (open) return { act: "first", key: open.key, coat: "first" };
  const left = drying(ordered, dry);
  if (!left.length) return { act: "done", key: "", coat: "" };
  const { key, at } = left[0];
  return { act: at <= now ? "second" : "wait", key, coat: "second", at };
}

/** The stretches whose second coat is still to come, soonest first, and from when each may get it. */
export function drying(coats, dry) {
  const left = coats.filter((coat) => coat.twice && coat.first[1] !== null && coat.second[1] === null);
  return left.map((coat) => ({ ...coat, at: coat.first[1] + dry })).sort((one, other) => one.at - other.at);
}

/** The time before which a second coat cannot start, where `start` is before it; else nothing. */
export function tooEarly(values, wall, start, dry) {
  const [ended, started] = [minutes(values[`first.${wall}.end`]), minutes(start)];
  if (ended === null || started === null || ended + dry >= 24 * 60 || started >= ended + dry) return "";
  return asClock(ended + dry);
}
