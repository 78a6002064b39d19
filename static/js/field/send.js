/* Sends what is kept, in order: entries, then photos, then the mark. Sent twice is taken once, so that whatever
   breaks in between is simply sent again. Nothing is dropped here before the answer says that it was taken. */

import { device, dropPhoto, settle, stopOf, waiting } from "./store.js";

const AT_ONCE = 100;

async function ask(address, options = {}) {
  try {
    const answer = await fetch(address, { cache: "no-store", redirect: "manual", ...options });
    if (answer.type === "opaqueredirect" || answer.status === 401) return { trouble: "sign-in" };
    if (answer.status === 404) return { trouble: "not-yours" };
    const json = answer.headers.get("Content-Type")?.startsWith("application/json");
    const said = json ? await answer.json() : {};
    if (answer.ok || answer.status === 422 || answer.status === 409) return { said, ok: answer.ok };
  } catch {
    // Out of reach, or cut off half way: that it could not be sent is told by the caller.
  }
  return { trouble: "no-signal" };
}

/** Whether somebody is signed in whose entries these are; a token to send with. */
async function signal(stops, person) {
  const { said, trouble } = await ask(`${stops}/signal`);
  if (trouble) return { trouble: trouble === "not-yours" ? "no-signal" : trouble };
  return said.person === person ? { token: said.csrf } : { trouble: "other-person" };
}

async function sendBatch(address, token, entries, mark = "") {
  const sent = entries.map(({ id, seq, field, value, knows, at }) => ({ id, seq, field, value, knows, at }));
  const body = { device: await device(), sent_at: new Date().toISOString(), entries: sent, mark };
  const headers = { "Content-Type": "application/json", "X-CSRFToken": token };
  return ask(`${address}/entries`, { method: "POST", headers, body: JSON.stringify(body) });
}

async function sendPhoto(address, token, photo) {
  const form = new FormData();
  for (const name of ["id", "wall", "words", "at"]) form.set(name, photo[name]);
  form.set("device", await device());
  form.set("file", photo.blob, "photo.jpg");
  return ask(`${address}/photos`, { method: "POST", headers: { "X-CSRFToken": token }, body: form });
}

async function all(job, stops, person, tell) {
  const address = `${stops}/${job}`;
  let left = await waiting(job, person);
  const stop = await stopOf(job);
  const marked = stop.person === person && stop.mark;
  if (!left.entries.length && !left.photos.length && !marked) return "";
  const { token, trouble } = await signal(stops, person);
  if (trouble) return trouble;
  while (left.entries.length) {
    tell(left.entries.length + left.photos.length);
    const { said, trouble: broke } = await sendBatch(address, token, left.entries.slice(0, AT_ONCE));
    if (broke || !said.taken) return broke ?? "no-signal";
    await settle(job, said);
    left = await waiting(job, person);
  }
  for (const photo of left.photos) {
    tell(left.photos.length);
    const { said, ok, trouble: broke } = await sendPhoto(address, token, photo);
    if (broke) return broke;
    await dropPhoto(photo.id, ok ? "" : said.says || "?");
  }
  if (!marked) return "";
  const { said, trouble: broke } = await sendBatch(address, token, [], marked);
  if (broke || !said.taken) return broke ?? "no-signal";
  await settle(job, said);
  return said.state === "treated" ? "treated" : "";
}

/** Ask what the stop's entry is by now: another phone may be at it, or the office has picked. */
export async function look(job, stops, person) {
  const { token } = await signal(stops, person);
  if (!token) return;
  const { said } = await sendBatch(`${stops}/${job}`, token, []);
  if (said?.taken) await settle(job, said);
}

/** Send all there is of a stop. Answers what kept it from being sent: nothing, or one of the words of the page. */
export async function send(job, stops, person, tell = () => {}) {
  const work = () => all(job, stops, person, tell);
  // Two pages of one browser would both send; it would do no harm, and no good.
  return navigator.locks ? navigator.locks.request("sillbook-send", work) : work();
}
