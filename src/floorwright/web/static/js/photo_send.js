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

/**
 * Call once each of these keys has an answer; `taken` says whether the shop took all of them. What counts is what the
 * queue holds, not who sent it: another tab may have, or this one before anybody listened.
 */
export function whenAnswered(keys, done) {
  const left = new Set(keys);
  let taken = true;
  const look = async () => {
    const queue = await theQueue();
    const waiting = new Set((await queue.items()).map((item) => item.key));
    const aside = new Set((await queue.asideItems()).map((item) => item.key));
    for (const key of [...left]) {
      if (waiting.has(key) || !left.delete(key)) continue;
      taken &&= !aside.has(key);
      if (left.size) continue;
      removeEventListener("queue:changed", look);
      done(taken);
    }
  };
  addEventListener("queue:changed", look);
  look();
}
