/**
 * The outbox: everything a phone records is kept on the device first and sent when it can, in order, exactly once.
 *
 * An item is on the disk before `append` answers, so a screen that waits for it never confirms what could be lost. One
 * tab sends at a time; an item leaves only when the server said that it holds it; what the server did not take moves
 * aside for a person to see, mend or discard. Every change is told as a `queue:changed` event on the window, with
 * {waiting, aside, state} and state one of "idle", "sending", "waiting" (no answer yet), "sign-in", "full".
 */

import { newKey } from "./ids.js";
import { localIso } from "./clock.js";
import { openOutbox, StorageFull } from "./outbox.js";
import { ownerOf, shopOf, viewerName } from "./who.js";

export { StorageFull } from "./outbox.js";

const MOST_ITEMS = 200;
const MOST_BYTES = 8_000_000;
const LEAST_BYTES = 250_000;
const LEASE = "fw-sender";
const CHANNEL = "fw-queue";
const BUSY = Symbol("another tab sends");

const DEFAULTS = {
  url: "/api/inbox",
  timeout_ms: 20_000,
  bytes_a_ms: 50, // on top of the timeout, for a network of 0.4 Mbit/s up
  every_ms: 30_000,
  first_wait_ms: 1000,
  longest_wait_ms: 60_000,
  lease_ms: 30_000,
  hold_ms: 180_000,
};

export class Queue {
  #outbox;
  #options;
  #state = "idle";
  #failures = 0;
  #bytes = MOST_BYTES; // how much goes at once; a network that takes too long gets less
  #timer = 0;
  #sending = null;
  #again = false;
  #tab = newKey("tab");
  #channel = "BroadcastChannel" in globalThis ? new BroadcastChannel(CHANNEL) : null;
  #counts = { waiting: 0, aside: 0 };
  #asked = false;

  constructor(outbox, options) {
    this.#outbox = outbox;
    this.#options = options;
  }

  /** Open the outbox of this device; sending starts at once and on every sign that the network may be back. */
  static async open(options = {}) {
    const settings = { ...DEFAULTS, ...options };
    const queue = new Queue(settings.outbox ?? (await openOutbox()), settings);
    if (settings.listen !== false) queue.#listen();
    await queue.#tell();
    if (settings.listen !== false) queue.send(true);
    return queue;
  }

  #listen() {
    const now = () => {
      this.#failures = 0;
      this.send(true);
    };
    addEventListener("online", now);
    addEventListener("offline", () => this.#tell(true));
    addEventListener("pageshow", now);
    document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && now());
    addEventListener("storage", () => this.#tell(true));
    this.#channel?.addEventListener("message", () => this.#tell(true));
    setInterval(() => this.send(), this.#options.every_ms);
  }

  /** What waits, what lies aside, and what the queue does. */
  get status() {
    return { ...this.#counts, state: this.#state };
  }

  /**
   * Keep an item and send it when it can. Resolves with its key once it is on the disk.
   * @param {string} kind as in the inbox protocol
   * @throws {StorageFull} nothing was kept
   */
  async append(kind, body, key = newKey("k")) {
    await this.#keep(this.#item(kind, body, key, null));
    this.send();
    return key;
  }

  /**
   * Keep an item that may still change until it is released, or left alone for some minutes: then any page sends it.
   * @throws {StorageFull} nothing was kept
   */
  async draft(kind, body, key = newKey("k")) {
    await this.#keep(this.#draft(kind, body, key));
    return key;
  }

  /**
   * Give a draft another body; null takes it back.
   * @returns {Promise<boolean>} false: it is on its way already and stays as it was
   */
  async redraft(key, body) {
    const hold_until = Date.now() + this.#options.hold_ms;
    const change = body === null ? () => null : () => ({ body, size: sizeOf(body), hold_until, made_at: this.#now() });
    const replaced = await this.#guarded(() => this.#outbox.replace(key, change));
    await this.#tell();
    return replaced;
  }

  /** What a page of this shop noted under a name; undefined where it noted nothing. */
  note(name) {
    return this.#outbox.note(noteOf(name));
  }

  /**
   * Change a note and the drafts that belong to it in one step: a page that dies finds all of it done, or nothing.
   * @param {string} name
   * @param {(value: any) => {value: any, add?: {key: string, kind: string, body: any}[], drop?: string[],
   * otherwise?: any}} change from what the note says now: its value then, drafts to keep, drafts to take back, and its
   * value where one of those is on its way already, which stops the taking back of all
   * @returns {Promise<{taken: boolean}>} whether the drafts were taken back
   * @throws {StorageFull} nothing was changed
   */
  async step(name, change) {
    let added = false;
    const whole = (value) => {
      const { add = [], ...step } = change(value);
      added ||= add.length > 0;
      return { ...step, add: add.map(({ key, kind, body }) => this.#draft(kind, body, key)) };
    };
    const found = await this.#guarded(() => this.#outbox.step(noteOf(name), whole));
    if (added) this.#stay();
    if (added || found.taken) await this.#tell();
    return found;
  }

  /** Let drafts go. */
  async release(keys) {
    for (const key of keys) await this.#outbox.replace(key, () => ({ hold_until: 0 }));
    if (!keys.length) return;
    await this.#tell();
    this.send();
  }

  /** Items that the server did not take: {key, kind, body, made_at, answer: {state, problems, result}}. */
  asideItems() {
    return this.#outbox.aside();
  }

  /** Items that wait. */
  items() {
    return this.#outbox.items();
  }

  /** Send an item that lay aside again, with another body if one is given. What waited for it goes after it. */
  async mend(key, body) {
    // who sends it again answers for it
    const whose = { owner: ownerOf(), by: viewerName() };
    const found = await this.#outbox.restore(key, (item) => ({ body: body ?? item.body, hold_until: null, ...whose }));
    for (const item of await this.#outbox.aside()) {
      if (found && item.answer.state === "held") await this.#outbox.restore(item.key, () => ({ hold_until: null }));
    }
    await this.#tell();
    this.send();
    return found;
  }

  /** Give an item that lay aside up, because a person said so. */
  async discard(key) {
    await this.#outbox.restore(key, () => null);
    await this.#tell();
  }

  #item(kind, body, key, hold_until) {
    const whose = { shop: shopOf(), owner: ownerOf(), by: viewerName() };
    return { key, kind, body, made_at: this.#now(), ...whose, size: sizeOf(body), hold_until };
  }

  #draft(kind, body, key) {
    return this.#item(kind, body, key, Date.now() + this.#options.hold_ms);
  }

  async #keep(item) {
    await this.#guarded(() => this.#outbox.add(item));
    this.#stay();
    await this.#tell();
  }

  /** Ask the browser once not to clear this device's store to make room; some ask the person, so only with a reason. */
  #stay() {
    if (this.#asked) return;
    this.#asked = true;
    navigator.storage?.persist?.().catch(() => false); // either answer will do: nothing here rests on it
  }

  async #guarded(work) {
    try {
      const found = await work();
      if (this.#state === "full") this.#state = "idle";
      return found;
    } catch (error) {
      if (error instanceof StorageFull) await this.#tell(false, "full");
      throw error;
    }
  }

  async #tell(heard = false, state = this.#state) {
    this.#state = state;
    const waiting = await this.#waiting();
    const aside = (await this.#outbox.aside()).length;
    this.#counts = { waiting, aside };
    dispatchEvent(new CustomEvent("queue:changed", { detail: this.status }));
    if (!heard) this.#channel?.postMessage("changed");
  }

  /** What the count shows: drafts that may still be undone are not waiting for the network, unless it is away. */
  async #waiting() {
    const away = ["waiting", "sign-in", "full"].includes(this.#state) || !navigator.onLine;
    const items = await this.#outbox.items();
    const shown = away ? items : items.filter((item) => !(item.hold_until > Date.now()));
    return shown.reduce((sum, item) => sum + item.size, 0);
  }

  #now() {
    return localIso(Date.now()).slice(0, 19);
  }

  // ---- sending ----------------------------------------------------------------------------------------------------

  /**
   * Send what waits, unless another tab does. Resolves when there is nothing left to do now.
   * @param {boolean} [signed_in] somebody may have signed in since the server last asked for it
   */
  send(signed_in = false) {
    if (this.#sending) {
      this.#again = true;
      return this.#sending;
    }
    if (this.#state === "sign-in" && !signed_in) return Promise.resolve();
    clearTimeout(this.#timer);
    this.#sending = this.#sendOnce().finally(() => {
      this.#sending = null;
      if (this.#again) {
        this.#again = false;
        this.send();
      }
    });
    return this.#sending;
  }

  async #sendOnce() {
    if (!(await this.#outbox.items()).length) return this.#tell(true, "idle");
    const done = await this.#alone(async (renew) => {
      let most = MOST_ITEMS;
      for (;;) {
        const batch = await this.#outbox.take(Date.now(), most, this.#bytes);
        if (!batch.length) return this.#tell(false, this.#state === "full" ? "full" : "idle");
        await this.#tell(false, "sending");
        renew();
        const answer = await this.#post(batch);
        if (answer.slow) this.#bytes = Math.max(LEAST_BYTES, this.#bytes / 2);
        if (answer.trouble) return this.#wait(answer);
        if (answer.unreadable && batch.length > 1) {
          most = Math.max(1, Math.floor(batch.length / 2)); // find the one that spoils the rest
          continue;
        }
        this.#failures = 0;
        this.#bytes = Math.min(MOST_BYTES, this.#bytes * 2);
        const sorted = sortAnswers(batch, answer);
        await this.#outbox.settle(sorted.done, sorted.aside);
        if (!sorted.done.length && !sorted.aside.length) return this.#wait({ trouble: "waiting" });
        dispatchEvent(new CustomEvent("queue:stored", { detail: answer.results ?? [] }));
      }
    });
    if (done === BUSY) this.#timer = setTimeout(() => this.send(), 1000 + Math.random() * 1000);
  }

  /** Run while no other tab sends. Where the browser has no locks (plain http) a lease in localStorage does it. */
  async #alone(work) {
    if (globalThis.navigator?.locks && this.#options.locks !== false) {
      return navigator.locks.request(LEASE, { ifAvailable: true }, (lock) => (lock ? work(() => {}) : BUSY));
    }
    if (!(await this.#takeLease())) return BUSY;
    try {
      return await work(() => this.#writeLease());
    } finally {
      if (this.#lease()?.tab === this.#tab) localStorage.removeItem(LEASE);
    }
  }

  #lease() {
    const lease = JSON.parse(localStorage.getItem(LEASE) ?? "null");
    // a lease that ends further ahead than any lease can was written before the clock was put back
    return lease && lease.until > Date.now() && lease.until < Date.now() + 2 * this.#options.lease_ms ? lease : null;
  }

  #writeLease() {
    localStorage.setItem(LEASE, JSON.stringify({ tab: this.#tab, until: Date.now() + this.#options.lease_ms }));
  }

  async #takeLease() {
    const lease = this.#lease();
    if (lease && lease.tab !== this.#tab) return false;
    try {
      this.#writeLease();
    } catch {
      return true; // no room for a lease: sending makes room, and the server takes an item only once
    }
    await new Promise((done) => setTimeout(done, 20 + Math.random() * 40)); // let a tab that wrote at once be seen
    return this.#lease()?.tab === this.#tab;
  }

  async #post(batch) {
    const items = batch.map(({ key, kind, made_at, body, shop = "", owner = "" }) => ({ key, kind, made_at, body, shop, owner }));
    const text = JSON.stringify({ device_time: localIso(Date.now()), items });
    const stop = new AbortController();
    let slow = false;
    const timer = setTimeout(() => {
      slow = true;
      stop.abort();
    }, this.#options.timeout_ms + text.length / this.#options.bytes_a_ms);
    try {
      const response = await fetch(this.#options.url, {
        method: "POST",
        headers: { "Content-Type": "application/json", "X-Floorwright": "inbox" },
        body: text,
        redirect: "manual",
        cache: "no-store",
        credentials: "same-origin",
        signal: stop.signal,
      });
      return await read(response);
    } catch {
      return { trouble: "waiting", slow }; // no network, or no answer in time: everything stays and is sent again
    } finally {
      clearTimeout(timer);
    }
  }

  async #wait({ trouble, after_ms = 0 }) {
    await this.#tell(false, trouble);
    if (trouble === "sign-in") return;
    this.#failures += 1;
    const { first_wait_ms, longest_wait_ms } = this.#options;
    const longest = Math.min(longest_wait_ms, first_wait_ms * 2 ** Math.min(this.#failures - 1, 20));
    const wait = Math.max(after_ms, longest * (0.5 + Math.random() / 2));
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => this.send(), wait);
  }
}

const noteOf = (name) => `${shopOf()} ${name}`;

const UNREADABLE = [400, 413, 415, 422];

const sizeOf = (body) => (Array.isArray(body?.rows) ? Math.max(1, body.rows.length) : 1);

async function read(response) {
  if (response.type === "opaqueredirect" || response.status === 401 || response.status === 403) {
    return { trouble: "sign-in" };
  }
  if (response.status === 429 || response.status >= 500) {
    return { trouble: "waiting", after_ms: 1000 * Math.min(600, Number(response.headers.get("Retry-After")) || 0) };
  }
  const body = await response.json().catch(() => null);
  // only these say that the batch itself cannot be read; any other refusal is about the way there
  if (!response.ok && !(UNREADABLE.includes(response.status) && body?.error?.fields)) return { trouble: "waiting" };
  if (response.ok) return Array.isArray(body?.results) ? { results: body.results } : { trouble: "waiting" };
  return { unreadable: true, problems: problemsOf(body), status: response.status };
}

function problemsOf(body) {
  const found = body.error.fields;
  return Array.isArray(found) ? found : [];
}

/** What the server holds, and what it did not take; an item without an answer stays where it is. */
function sortAnswers(batch, answer) {
  if (answer.unreadable) {
    const refused = { state: "refused", status: answer.status, problems: answer.problems };
    return { done: [], aside: [{ item: batch[0], answer: refused }] };
  }
  const answers = new Map(answer.results.map((each) => [each.key, each]));
  const done = [];
  const aside = [];
  for (const item of batch) {
    const said = answers.get(item.key);
    if (said?.state === "stored" || said?.state === "again") done.push(item);
    else if (["refused", "conflict", "held"].includes(said?.state)) aside.push({ item, answer: said });
  }
  return { done, aside };
}

let shared = null;

/** The one queue of this page. @returns {Promise<Queue>} */
export function theQueue() {
  shared ??= Queue.open();
  return shared;
}
