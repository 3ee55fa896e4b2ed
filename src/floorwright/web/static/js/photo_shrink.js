/**
 * A photo as the shop keeps it: at most 2048 px long, upright, a JPEG without place or camera data. Drawing it anew is
 * what leaves those behind.
 */

export const LONGEST = 2048;
const QUALITY = 0.85;

/** @throws {Error} for what the browser cannot read as a picture */
export async function shrink(file, longest = LONGEST) {
  const picture = await read(file);
  const [wide, high] = [picture.naturalWidth ?? picture.width, picture.naturalHeight ?? picture.height];
  const scale = Math.min(1, longest / Math.max(wide, high));
  const canvas = document.createElement("canvas");
  canvas.width = Math.max(1, Math.round(wide * scale));
  canvas.height = Math.max(1, Math.round(high * scale));
  const brush = canvas.getContext("2d");
  brush.fillStyle = "#fff"; // where a picture is transparent
  brush.fillRect(0, 0, canvas.width, canvas.height);
  brush.imageSmoothingQuality = "high";
  brush.drawImage(picture, 0, 0, canvas.width, canvas.height);
  picture.close?.();
  const blob = await new Promise((done) => canvas.toBlob(done, "image/jpeg", QUALITY));
  if (!blob) throw new Error("not drawn");
  return blob;
}

/** An <img> turns the picture upright by itself, in every browser. */
async function read(file) {
  const image = new Image();
  const address = URL.createObjectURL(file);
  try {
    image.src = address;
    await image.decode();
    return image;
  } finally {
    URL.revokeObjectURL(address);
  }
}

/** The bytes as base64, without the head that a data address has. */
export async function base64(blob) {
  const reader = new FileReader();
  await new Promise((done, fail) => {
    reader.onload = done;
    reader.onerror = () => fail(reader.error);
    reader.readAsDataURL(blob);
  });
  return reader.result.slice(reader.result.indexOf(",") + 1);
}
