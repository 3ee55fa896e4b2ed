/**
 * The whole screen says "taken": sound and vibration are lost at 90 dB. Who asked for less motion, or taps faster than
 * three times a second, sees a steady border instead.
 */

const SHOWN_MS = 300;
const LEAST_APART_MS = 400; // no more than three flashes a second, for people whom flicker harms

let frame = null;
let timer = 0;
let last = -Infinity;

/** @param {"good"|"warn"} [kind] */
export function flash(kind = "good") {
  frame ??= document.body.appendChild(Object.assign(document.createElement("div"), { ariaHidden: "true" }));
  const now = performance.now();
  const calm = matchMedia("(prefers-reduced-motion: reduce)").matches || now - last < LEAST_APART_MS;
  last = now;
  frame.className = `flash is-${kind} ${calm ? "is-border" : "is-full"}`;
  clearTimeout(timer);
  timer = setTimeout(() => (frame.className = "flash"), calm ? SHOWN_MS : SHOWN_MS / 2);
}
