/**
 * Work that is done in rounds (a panel counted, a walk, a lift): the open round is kept at every tap, a closed one goes
 * to the outbox, and the last one may be taken back until it is on its way.
 */

import { deviceId, newKey, newSession } from "./ids.js";
import { localIso } from "./clock.js";
import { StorageFull } from "./outbox.js";

export class Rounds {
  #name;
  #queue;
  #state;

  constructor(name, queue, state) {
    this.#name = name;
    this.#queue = queue;
    this.#state = state;
  }

  /**
   * The rounds of a page as they were left.
   * @param {string} name of the place where they are kept
   * @param {any} nothing an open round in which nothing has happened
   */
  static async open(name, queue, nothing) {
    const session = `${deviceId()}-${newSession()}`;
    const fresh = { open: nothing, last: null, closing: null, session, seq: 0, done: [] };
    const rounds = new Rounds(name, queue, JSON.parse(localStorage.getItem(name) ?? "null") ?? fresh);
    if (rounds.#state.closing) await rounds.#finish(nothing);
    return rounds;
  }

  get current() {
    return this.#state.open;
  }

  /** What the closed rounds of this page came to, oldest first. */
  get done() {
    return this.#state.done;
  }

  get mayReopen() {
    return this.#state.last !== null;
  }

  /** Keep the open round. @throws {StorageFull} it stays as it was */
  set(open) {
    this.#write({ ...this.#state, open });
  }

  /** A key for a reading of this page. */
  rowKey(place = 0) {
    return `${this.#state.session}-${this.#state.seq + 1}${place ? `.${place}` : ""}`;
  }

  /** Fields that every reading of this page has. */
  stamp() {
    return { taken_at: localIso(Date.now()), detail: { session: this.#state.session } };
  }

  /**
   * Close the open round: resolves once its items are in the outbox.
   * @param {object[]} bodies of `readings` items
   * @param {any} summary what it came to, for `done`
   * @param {any} nothing the next open round
   */
  async close(bodies, summary, nothing) {
    const items = bodies.map((body) => ({ key: newKey("k"), body }));
    // noted first: a page that is killed now finds it when it is opened again, and nothing is kept twice
    this.#write({ ...this.#state, closing: { items, summary } });
    await this.#finish(nothing);
  }

  async #finish(nothing) {
    const { closing, last, open, seq, done } = this.#state;
    const held = new Set((await this.#queue.items()).map((item) => item.key));
    for (const { key, body } of closing.items) if (!held.has(key)) await this.#queue.draft("readings", body, key);
    const keys = closing.items.map((item) => item.key);
    const next = { open: nothing, last: { keys, open }, closing: null, seq: seq + 1, done: [...done, closing.summary] };
    this.#write({ ...this.#state, ...next });
    await this.#queue.release(last?.keys ?? []);
  }

  /** Take the last round back and open it again; false where it is on its way already. */
  async reopen() {
    const { last, done } = this.#state;
    if (!last) return false;
    const taken = [];
    for (const key of last.keys) taken.push(await this.#queue.redraft(key, null));
    const back = taken.some(Boolean);
    this.#write({ ...this.#state, last: null, ...(back ? { open: last.open, done: done.slice(0, -1) } : {}) });
    return back;
  }

  #write(state) {
    try {
      localStorage.setItem(this.#name, JSON.stringify(state));
      this.#state = state;
    } catch (error) {
      throw new StorageFull(error.message);
    }
  }
}

/** Do something that keeps; confirms it, or says that there is no room. */
export function keeper({ confirm, refuse }) {
  return async (work) => {
    try {
      const found = await work();
      refuse("");
      confirm();
      return found;
    } catch (error) {
      if (!(error instanceof StorageFull)) throw error;
      refuse("full");
      return undefined;
    }
  };
}
