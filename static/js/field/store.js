/* What a phone keeps of its stops: entries and photos still to be sent, and what each stop's entry comes to.

   An entry is kept before anything else is done with it, in one transaction that the browser has written to
   the disk when it says so: a phone that dies the moment after has lost nothing. Each has an id of its own
   (crypto.randomUUID, RFC 9562 version 4), its place among the device's entries, and the ids of the entries
   of its field that it replaces, because whoever entered it saw them. */

const NAME = "sillbook-field";
const EDITION = 1;
let opened;

function open() {
  opened ??= new Promise((resolve, reject) => {
    const asked = indexedDB.open(NAME, EDITION);
    asked.onupgradeneeded = () => {
      for (const name of ["entries", "photos"]) {
        asked.result.createObjectStore(name, { keyPath: "id" }).createIndex("job", "job");
      }
      asked.result.createObjectStore("stops", { keyPath: "job" });
      asked.result.createObjectStore("meta", { keyPath: "name" });
    };
    asked.onsuccess = () => resolve(asked.result);
    asked.onerror = () => reject(asked.error);
  });
  return opened;
}

const done = (asked) =>
  new Promise((resolve, reject) => {
    asked.onsuccess = () => resolve(asked.result);
    asked.onerror = () => reject(asked.error);
  });

/** Room set by, given up to what is entered once there is no other: then it is told while all is still kept. */
const SPARE = 8 * 1024 * 1024;

/** One transaction. Resolves with what `work` gives once it is on the disk; rejects where it could not be kept. */
async function within(names, mode, work) {
  try {
    return await attempt(names, mode, work);
  } catch (error) {
    if (mode !== "readwrite" || !(await giveUpSpare())) throw error;
    return afterAWhile(() => attempt(names, mode, work));
  }
}

/** The browser takes a moment to see that there is room again. */
async function afterAWhile(work, tries = 10) {
  await new Promise((resolve) => setTimeout(resolve, 200));
  return work().catch((error) => (tries ? afterAWhile(work, tries - 1) : Promise.reject(error)));
}

async function attempt(names, mode, work) {
  const transaction = (await open()).transaction(names, mode, { durability: "strict" });
  const over = new Promise((resolve, reject) => {
    transaction.oncomplete = resolve;
    transaction.onabort = () => reject(transaction.error);
    transaction.onerror = () => reject(transaction.error);
  });
  over.catch(() => {}); // told to whoever awaits it below, or in place of it the error of the work itself
  const stores = Object.fromEntries(names.map((name) => [name, transaction.objectStore(name)]));
  const found = await work(stores);
  await over;
  return found;
}

/** Give up the room that was set by; false where there was none. */
const giveUpSpare = () =>
  attempt(["meta"], "readwrite", async ({ meta }) => {
    // Asked for by its key only: as long as a page holds its bytes, the browser does not let go of them.
    const spare = await done(meta.getKey("spare"));
    if (spare) meta.delete("spare"); // which needs no room, as writing that there is none would
    return Boolean(spare);
  }).catch(() => false);

/** Set room by. True where it is there. */
export async function setRoomBy() {
  const room = crypto.getRandomValues(new Uint8Array(1024));
  const blob = new Blob(new Array(SPARE / room.length).fill(room));
  const put = ({ meta }) =>
    done(meta.getKey("spare")).then((spare) => spare || meta.put({ name: "spare", room: blob }));
  return attempt(["meta"], "readwrite", put).then(() => true, () => false);
}

/** Whether the room that was set by is still there. */
export const hasRoom = () =>
  attempt(["meta"], "readonly", async ({ meta }) => Boolean(await done(meta.getKey("spare"))));

const blank = (job) => ({ job, number: -1, values: {}, heads: {}, conflicts: {}, refused: {}, mark: "", late: 0 });
const inOrder = (entries) => entries.sort((one, other) => one.seq - other.seq);
const ofJob = (store, job) => done(store.index("job").getAll(job));

async function nextSeq(meta) {
  const device = (await done(meta.get("device"))) ?? { name: "device", id: crypto.randomUUID(), seq: 0 };
  device.seq += 1;
  meta.put(device);
  return device;
}

/** The id of this device, made the first time it is asked for. */
export const device = () =>
  within(["meta"], "readwrite", async ({ meta }) => {
    const found = (await done(meta.get("device"))) ?? { name: "device", id: crypto.randomUUID(), seq: 0 };
    meta.put(found);
    return found.id;
  });

/** What is known of a stop's entry here. */
export const stopOf = (job) =>
  within(["stops"], "readonly", async ({ stops }) => (await done(stops.get(job))) ?? blank(job));

/** Keep a value, unless the field holds it already. */
export const keepEntry = (job, person, field, value) =>
  within(["entries", "stops", "meta"], "readwrite", async ({ entries, stops, meta }) => {
    const stop = (await done(stops.get(job))) ?? blank(job);
    if ((stop.values[field] ?? "") === value) return false;
    const { seq } = await nextSeq(meta);
    const id = crypto.randomUUID();
    const knows = stop.heads[field] ?? [];
    entries.add({ id, job, person, seq, field, value, knows, at: new Date().toISOString() });
    stop.values[field] = value;
    stop.heads[field] = [id];
    delete stop.refused[field];
    stops.put(stop);
    return true;
  });

/** Keep that *Mark it treated* was pressed, with the key that makes it happen once. */
export const keepMark = (job, person) =>
  within(["stops"], "readwrite", async ({ stops }) => {
    const stop = (await done(stops.get(job))) ?? blank(job);
    stops.put({ ...stop, person, mark: stop.mark || crypto.randomUUID(), missing: null });
  });

function lay(stop, known, waiting) {
  if (known.number < stop.number) return;
  Object.assign(stop, { number: known.number, values: { ...known.values }, heads: { ...known.heads } });
  stop.conflicts = known.conflicts;
  // What was not sent yet is newer, as far as this phone knows.
  for (const entry of inOrder(waiting)) {
    stop.values[entry.field] = entry.value;
    stop.heads[entry.field] = [entry.id];
  }
}

/** Take over what the office's side knows of a stop; what is still to be sent stays on top of it. */
export const learn = (job, known) =>
  within(["entries", "stops"], "readwrite", async ({ entries, stops }) => {
    const stop = (await done(stops.get(job))) ?? blank(job);
    lay(stop, known, await ofJob(entries, job));
    stops.put(stop);
    return stop;
  });

/** Take over the answer to a batch: what was taken is no longer to be sent; what was refused says why. */
export const settle = (job, answer) =>
  within(["entries", "stops"], "readwrite", async ({ entries, stops }) => {
    const stop = (await done(stops.get(job))) ?? blank(job);
    const held = new Map((await ofJob(entries, job)).map((entry) => [entry.id, entry]));
    for (const { id, says } of answer.refused) {
      const gone = held.get(id);
      if (!gone) continue;
      stop.refused[gone.field] = says;
      for (const entry of held.values()) {
        if (!entry.knows.includes(id)) continue;
        entry.knows = [...new Set(entry.knows.flatMap((one) => (one === id ? gone.knows : [one])))];
        entries.put(entry);
      }
    }
    for (const id of [...answer.taken, ...answer.late, ...answer.refused.map((one) => one.id)]) {
      entries.delete(id);
      held.delete(id);
    }
    stop.late += answer.late.length;
    stop.offset = answer.offset_seconds;
    stop.missing = answer.missing ?? null;
    if (answer.missing || answer.not_marked || answer.state === "treated") stop.mark = "";
    lay(stop, answer, [...held.values()]);
    stops.put(stop);
    return stop;
  });

/** Keep a photo. */
export const keepPhoto = (photo) =>
  within(["photos", "meta"], "readwrite", async ({ photos, meta }) => {
    const { seq } = await nextSeq(meta);
    photos.add({ ...photo, id: crypto.randomUUID(), seq, at: new Date().toISOString() });
  });

/** A photo was sent, or cannot be taken, which is kept to be told. */
export const dropPhoto = (id, says = "") =>
  within(["photos", "stops"], "readwrite", async ({ photos, stops }) => {
    const photo = await done(photos.get(id));
    if (!photo) return;
    const stop = (await done(stops.get(photo.job))) ?? blank(photo.job);
    if (says) stop.refused[`photo.${photo.wall || "problem"}`] = says;
    stop.sentPhotos = [...(stop.sentPhotos ?? []), ...(says ? [] : [photo.wall])];
    stops.put(stop);
    photos.delete(id);
  });

/** What this person entered on a stop and is still to be sent, in order. */
export const waiting = (job, person) =>
  within(["entries", "photos"], "readonly", async ({ entries, photos }) => {
    const own = async (store) => inOrder(await ofJob(store, job)).filter((row) => row.person === person);
    return { entries: await own(entries), photos: await own(photos) };
  });

/** Every stop of which something is here to be sent: this person's, and how many are another's. */
export const jobsHere = (person) =>
  within(["entries", "photos", "stops"], "readonly", async ({ entries, photos, stops }) => {
    const [one, other, kept] = await Promise.all([entries, photos, stops].map((store) => done(store.getAll())));
    const all = [...one, ...other, ...kept.filter((stop) => stop.mark)];
    const own = all.filter((row) => row.person === person);
    return { own: [...new Set(own.map((row) => row.job))], others: all.length - own.length };
  });

/** Whose stops are kept here; another person's are dropped but for what is still to be sent. True where it changed. */
export const belongTo = (person) =>
  within(["meta"], "readwrite", async ({ meta }) => {
    const owner = await done(meta.get("owner"));
    meta.put({ name: "owner", person });
    return Boolean(owner) && owner.person !== person;
  });

/** Forget the stops of which nothing is left to send. */
export const forget = () =>
  within(["entries", "photos", "stops"], "readwrite", async ({ entries, photos, stops }) => {
    const left = new Set([...(await done(entries.getAll())), ...(await done(photos.getAll()))].map((row) => row.job));
    for (const stop of await done(stops.getAll())) if (!left.has(stop.job) && !stop.mark) stops.delete(stop.job);
  });
