/* How much room is left on the phone: told while there is still some. */

import { word } from "./words.js";

const MIB = 1024 * 1024;
/** Less than this, and a day's photos may not fit. */
const LITTLE = 60 * MIB;

/** A sentence where the phone is nearly full; nothing else. */
export async function roomLeft() {
  const { quota, usage } = (await navigator.storage?.estimate?.()) ?? {};
  if (quota === undefined || quota - usage > LITTLE) return "";
  return word("nearly-full", { mib: Math.max(0, Math.floor((quota - usage) / MIB)) });
}

/** Ask the browser not to drop what is kept when the phone runs low. */
export const holdFast = () => navigator.storage?.persist?.();
