/** A photo from the camera or a file, made small enough for a shop's network. */

const LONGEST = 1600;
const QUALITY = 0.85;

/** @param {Blob} file @returns {Promise<string>} JPEG as base64, without place and camera data */
export async function smallJpeg(file) {
  const picture = await createImageBitmap(file, { imageOrientation: "from-image" });
  const scale = Math.min(1, LONGEST / Math.max(picture.width, picture.height));
  const canvas = document.createElement("canvas");
  canvas.width = Math.max(1, Math.round(picture.width * scale));
  canvas.height = Math.max(1, Math.round(picture.height * scale));
  canvas.getContext("2d").drawImage(picture, 0, 0, canvas.width, canvas.height);
  picture.close();
  return canvas.toDataURL("image/jpeg", QUALITY).split(",")[1];
}
