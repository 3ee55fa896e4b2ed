// A photo onto the device's queue: made small first, told where it belongs, sent when it can.
import { theQueue } from "./queue.js";
import { base64 } from "./photo_shrink.js";

const today = () => {
  const now = new Date();
  return [now.getFullYear(), now.getMonth() + 1, now.getDate()].map((each) => String(each).padStart(2, "0")).join("-");
};

/** @returns {Promise<string>} the key under which its answer comes */
export async function sendPhoto(improvement, blob, { moment, caption = "" }) {
  const jpeg = await base64(blob);
  return (await theQueue()).append("photo", { improvement, moment, caption, jpeg, taken_on: today() });
}

/** Call once each of these keys has an answer; `taken` says whether the shop took all of them. */
export function whenAnswered(keys, done) {
  const left = new Set(keys);
  let taken = true;
  addEventListener("queue:stored", function heard({ detail }) {
    for (const { key, state } of detail) {
      if (left.delete(key)) taken &&= state === "stored" || state === "again";
    }
    if (left.size) return;
    removeEventListener("queue:stored", heard);
    done(taken);
  });
}
