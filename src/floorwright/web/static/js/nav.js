// What every page runs: the queue sends what waits, forms keep what was typed, the service worker keeps the shell.
import { startQueue } from "./queue.js";
import { keepForms } from "./store.js";

startQueue();
keepForms();

if ("serviceWorker" in navigator) {
  navigator.serviceWorker.register("/sw.js").catch(() => {
    // Without a trusted certificate there is none; the page works while it is open.
  });
}
