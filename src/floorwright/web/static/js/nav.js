// What every page runs: the queue sends what waits and its count is shown, and the service worker keeps the shell.
import { theQueue } from "./queue.js";
import { forgetOthers } from "./store.js";
import { shopOf, viewerOf } from "./who.js";

const VIEWER = "fw-viewer";

/** Another tab may show what is meant for whoever was here until now: it hears of it. */
function tellWhoIsHere() {
  const now = `${shopOf()} ${viewerOf()}`;
  if (localStorage.getItem(VIEWER) === now) return;
  try {
    localStorage.setItem(VIEWER, now);
  } catch {
    localStorage.removeItem(VIEWER); // a full device tells too
  }
}

/** The count of what waits, in every element that asks for it: data-queue-text holds the sentence with {n}. */
function showCount({ waiting, aside }) {
  for (const element of document.querySelectorAll("[data-queue-count]")) {
    const n = waiting + aside;
    element.hidden = n === 0;
    element.textContent = (element.dataset.queueText ?? "{n}").replace("{n}", n);
  }
}

forgetOthers();
tellWhoIsHere();
addEventListener("queue:changed", (event) => showCount(event.detail));
theQueue().then((queue) => showCount(queue.status));

if ("serviceWorker" in navigator) {
  navigator.serviceWorker.register("/sw.js").catch(() => {
    // Without a trusted certificate there is none; the page works while it is open.
  });
}
