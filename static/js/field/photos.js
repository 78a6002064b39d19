/* Photos, made small before they are kept: drawn anew, a picture carries no place and no name of a phone. */

const LONGEST = 1600;
const QUALITY = 0.85;

/** A file as a JPEG of at most 1600 px a side, upright. Rejects where it is no picture. */
export async function shrink(file) {
  const picture = await createImageBitmap(file, { imageOrientation: "from-image" });
  const scale = Math.min(1, LONGEST / Math.max(picture.width, picture.height));
  const canvas = document.createElement("canvas");
  canvas.width = Math.max(1, Math.round(picture.width * scale));
  canvas.height = Math.max(1, Math.round(picture.height * scale));
  const pen = canvas.getContext("2d");
  pen.fillStyle = "white";
  pen.fillRect(0, 0, canvas.width, canvas.height);
  pen.drawImage(picture, 0, 0, canvas.width, canvas.height);
  picture.close();
  const blob = await new Promise((resolve) => canvas.toBlob(resolve, "image/jpeg", QUALITY));
  if (!blob) throw new Error("no picture");
  return blob;
}

/** A kept photo, drawn small where it is shown: on a canvas, because no address of it is ours to show. */
export async function thumbnail(blob, about) {
  const canvas = document.createElement("canvas");
  [canvas.width, canvas.height] = [96, 72];
  canvas.setAttribute("role", "img");
  canvas.setAttribute("aria-label", about);
  const picture = await createImageBitmap(blob, { resizeWidth: 96, resizeHeight: 72 });
  canvas.getContext("2d").drawImage(picture, 0, 0);
  picture.close();
  return canvas;
}
