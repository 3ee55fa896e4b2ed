/** Keeps the screen on where the browser allows it (a trusted address); elsewhere nothing happens. */

/** @returns {() => void} lets the screen go dark again */
export function stayAwake(lockers = navigator.wakeLock, page = document) {
  if (!lockers) return () => {};
  let lock = null;
  let wanted = true;
  const ask = async () => {
    if (!wanted || page.visibilityState !== "visible" || (lock && !lock.released)) return;
    try {
      lock = await lockers.request("screen");
      if (!wanted) await lock.release();
    } catch {
      lock = null; // the battery is low, or the page was hidden meanwhile: asked again when it is seen
    }
  };
  page.addEventListener("visibilitychange", ask);
  ask();
  return () => {
    wanted = false;
    page.removeEventListener("visibilitychange", ask);
    lock?.release();
  };
}
