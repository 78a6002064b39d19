/* Signing out takes the kept pages off the phone. What is still to be sent stays, for whoever entered it. */

import { forget } from "./store.js";
import { put, word } from "./words.js";

export const PAGES = "sillbook-stops";

/** Drop what is kept of one's stops before the form of signing out is sent. `signal`: where to say why not. */
export function dropOnLeaving(signal) {
  const form = document.querySelector('form[action$="/sign-out"]');
  form?.addEventListener("submit", async (event) => {
    event.preventDefault();
    if (!navigator.onLine) {
      put(signal, word("no-sign-out"));
      return;
    }
    try {
      await caches.delete(PAGES);
      await forget();
    } finally {
      form.submit(); // whoever wants to be signed out is, whatever the phone could not do
    }
  });
}
