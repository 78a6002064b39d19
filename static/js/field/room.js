/* How much room is left on the phone: told while all is still kept.

   What a browser says of its room may be a round figure that it says of every phone. So some is set by, and
   given up to what is entered once there is no other: from then on the phone is nearly full. */

import { hasRoom, setRoomBy } from "./store.js";
import { word } from "./words.js";

/** Less than this, and a day's photos may not fit. */
const LITTLE = 60 * 1024 * 1024;

/** A sentence where the phone is nearly full; nothing else. */
export async function roomLeft() {
  const { quota, usage } = (await navigator.storage?.estimate?.()) ?? {};
  const little = quota !== undefined && quota - usage < LITTLE;
  return little || !(await hasRoom()) ? word("nearly-full") : "";
}

/** Set room by, and ask the browser not to drop what is kept when the phone runs low. */
export async function holdFast() {
  navigator.storage?.persist?.();
  await setRoomBy();
}
