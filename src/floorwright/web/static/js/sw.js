/**
 * Opens the phone pages without a network. The shell and the assets come from the device (their addresses change with
 * their content), the pages of the floor from the network while there is one, else as they were last seen. Nothing else
 * is kept: no answers of the API, no photos, no PDF. Signing out empties it.
 */

const VERSION = "__ASSETS__";
const STATIC = `/static/${VERSION}/`;
const ASSETS = "fw-static";
const PAGES = "fw-pages";
const PATIENCE_MS = 4000;

const SHELL = [
  "css/base.css",
  "css/phone.css",
  "vendor/htmx.min.js",
  "fonts/inter-400.woff2",
  "fonts/inter-600.woff2",
  "fonts/inter-700.woff2",
  ...[
    "ask_first", "awake", "clock", "count_page", "distances", "flash", "ids", "ledger", "lift_page", "lifting",
    "live_line", "nav", "outbox", "page_data", "photo_shrink", "queue", "recorder", "rounds", "stat", "store", "units",
    "video_page", "walk_page", "watch", "watch_page", "watch_session", "who",
  ].map((name) => `js/${name}.js`),
];

const KEPT_PAGES = [
  /^\/$/,
  /^\/improvements\/new$/,
  /^\/improvements\/\d+$/,
  /^\/improvements\/\d+\/time$/,
  /^\/studies\/\d+\/(watch|count|walk|lift|video)$/,
  /^\/waiting$/,
];

const NO_NETWORK = {
  en: ["No network", "What you time is kept here and sent when the network is back.", "Try again"],
  es: ["Sin red", "Lo que mida queda guardado aquí y se envía cuando vuelva la red.", "Intentar de nuevo"],
};

self.addEventListener("install", (event) => {
  event.waitUntil(keepShell().then(() => self.skipWaiting()));
});

async function keepShell() {
  const cache = await caches.open(ASSETS);
  const there = new Set((await cache.keys()).map((request) => new URL(request.url).pathname));
  await cache.addAll(SHELL.map((path) => STATIC + path).filter((path) => !there.has(path)));
}

self.addEventListener("activate", (event) => {
  event.waitUntil(dropOld().then(() => self.clients.claim()));
});

/** Assets of other versions go, and pages that ask for them. */
async function dropOld() {
  for (const name of await caches.keys()) if (name !== ASSETS && name !== PAGES) await caches.delete(name);
  const assets = await caches.open(ASSETS);
  for (const request of await assets.keys()) {
    if (!new URL(request.url).pathname.startsWith(STATIC)) await assets.delete(request);
  }
  const pages = await caches.open(PAGES);
  for (const request of await pages.keys()) {
    const text = await (await pages.match(request)).text();
    if (!text.includes(STATIC)) await pages.delete(request);
  }
}

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const address = new URL(request.url);
  if (address.origin !== self.location.origin) return;
  if (request.method === "POST" && ["/sign-out", "/sign-in", "/pair"].includes(address.pathname)) {
    event.waitUntil(caches.delete(PAGES)); // the next person on this device sees nothing of the last one
    return;
  }
  if (request.method !== "GET") return;
  if (address.pathname.startsWith("/static/")) event.respondWith(asset(request));
  else if (request.mode === "navigate") event.respondWith(pageOf(request, address));
});

async function asset(request) {
  const cache = await caches.open(ASSETS);
  const found = await cache.match(request);
  if (found) return found;
  const answer = await fetch(request);
  if (answer.ok && new URL(request.url).pathname.startsWith(STATIC)) await cache.put(request, answer.clone());
  return answer;
}

async function pageOf(request, address) {
  const kept = KEPT_PAGES.some((pattern) => pattern.test(address.pathname));
  const cache = kept ? await caches.open(PAGES) : null;
  const old = cache ? await cache.match(address.pathname) : undefined;
  const fresh = fetch(request).then(async (answer) => {
    const html = answer.headers.get("Content-Type")?.startsWith("text/html");
    const shut = answer.status === 401 || answer.status === 403 || answer.type === "opaqueredirect" || answer.redirected;
    if (shut) await caches.delete(PAGES); // who is no longer let in keeps no pages of the shop either
    else if (cache && answer.ok && html) await cache.put(address.pathname, answer.clone());
    return answer;
  });
  try {
    return await (old ? Promise.race([fresh, tired()]) : fresh);
  } catch {
    fresh.catch(() => {}); // it was given up already
    return old ?? noNetwork();
  }
}

const tired = () => new Promise((_, give_up) => setTimeout(() => give_up(new Error("too slow")), PATIENCE_MS));

function noNetwork() {
  const language = navigator.language.startsWith("es") ? "es" : "en";
  const [title, text, again] = NO_NETWORK[language];
  const html = `<!doctype html><html lang="${language}"><head><meta charset="utf-8"><title>${title}</title>
<meta name="viewport" content="width=device-width, initial-scale=1"><meta name="color-scheme" content="light dark">
<link rel="stylesheet" href="${STATIC}css/base.css"></head><body><main id="main"><h1>${title}</h1><p>${text}</p>
<p><a class="button" href="">${again}</a></p></main></body></html>`;
  return new Response(html, {
    status: 503,
    headers: {
      "Content-Type": "text/html; charset=utf-8",
      "Content-Security-Policy": "default-src 'none'; style-src 'self'; font-src 'self'; frame-ancestors 'none'",
    },
  });
}
