/* The lot number by the camera, where the browser reads codes by itself. A help only: typing does the same. */

import { put, word } from "./words.js";

const TRIES = 60;
const PAUSE = 250;

async function read(video, detector) {
  for (let n = 0; n < TRIES; n += 1) {
    const [found] = await detector.detect(video);
    if (found) return found.rawValue.trim().slice(0, 100);
    await new Promise((resolve) => setTimeout(resolve, PAUSE));
  }
  return "";
}

/** Offer the button; what is read goes to `found`. */
export function offerScan(button, video, found, signal) {
  if (!("BarcodeDetector" in globalThis) || !navigator.mediaDevices) return;
  button.hidden = false;
  button.addEventListener("click", async () => {
    let stream;
    try {
      stream = await navigator.mediaDevices.getUserMedia({ video: { facingMode: "environment" } });
      video.srcObject = stream;
      video.hidden = false;
      await video.play();
      const text = await read(video, new BarcodeDetector());
      if (text) found(text);
      else put(signal, word("scan-none"));
    } catch {
      put(signal, word("scan-none"));
    } finally {
      video.hidden = true;
      stream?.getTracks().forEach((track) => track.stop());
    }
  });
}
