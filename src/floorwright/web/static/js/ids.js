/** Keys that no two devices make: `crypto.randomUUID` is missing on plain http, `getRandomValues` is not. */

const LETTERS = "0123456789abcdefghjkmnpqrstvwxyz"; // 32, without i, l, o, u

function letters(count) {
  const bytes = crypto.getRandomValues(new Uint8Array(count));
  return Array.from(bytes, (byte) => LETTERS[byte % 32]).join("");
}

/** A new key, such as k-7f3q...; 80 bits. */
export const newKey = (prefix) => `${prefix}-${letters(16)}`;

/** A new session of this device; 40 bits. */
export const newSession = () => letters(8);

/** The name of this device, the same each time. */
export function deviceId(storage = localStorage) {
  const kept = storage.getItem("fw-device");
  if (kept) return kept;
  const made = letters(10);
  storage.setItem("fw-device", made);
  return made;
}
