/**
 * Work that is done in rounds (a panel counted, a walk, a lift): the open round is kept at every tap, a closed one goes
 * to the outbox, and the last one may be taken back until it is on its way.
 *
 * The rounds of a page are a note of the outbox, and every act changes the note and the outbox in one step, from what
 * the device holds and not from what this page remembers. So whenever a page dies, a round is either open or in the
 * outbox, never both and never neither, and two tabs of one page work on the same rounds.
 */

import { deviceId, newKey, newSession } from "./ids.js";
import { localIso } from "./clock.js";
import { StorageFull } from "./outbox.js";

/**
 * @typedef {object} State
 * @property {any} open the open round
 * @property {{keys: string[], open: any}|null} last the round closed last: its items, and what it was while it was open
 * @property {string} session
 * @property {number} seq how many rounds were closed, for the keys of readings: one taken back gives none of its own
 * @property {any[]} done what the closed rounds came to, oldest first
 */

export class Rounds {
  #name;
  #queue;
  #nothing;
  #state;
  #fresh;

  constructor(name, queue, nothing, kept) {
    this.#name = name;
    this.#queue = queue;
    this.#nothing = nothing;
    const session = `${deviceId()}-${newSession()}`;
    this.#fresh = { open: nothing, last: null, session, seq: 0, done: [] };
    this.#state = kept ?? this.#fresh;
  }

  /**
   * The rounds of a page as they were left.
   * @param {string} name under which they are noted
   * @param {any} nothing an open round in which nothing has happened
   */
  static async open(name, queue, nothing) {
    return new Rounds(name, queue, nothing, await queue.note(name));
  }

  get current() {
    return this.#state.open;
  }

  /** What the closed rounds of this page came to, oldest first. */
  get done() {
    return this.#state.done;
  }

  get session() {
    return this.#state.session;
  }

  get mayReopen() {
    return this.#state.last !== null;
  }

  /**
   * Change the open round.
   * @param {(open: any) => any} change what it is to what it becomes
   * @throws {StorageFull} it stays as it was
   */
  async change(change) {
    await this.#step((kept) => ({ value: { ...kept, open: change(kept.open) } }));
  }

  /**
   * Close the open round: resolves once its items are in the outbox.
   * @param {(round: {open: any, place: number, key: (part?: number) => string, stamp: object}) =>
   * {bodies: object[], summary: any}|null} build its `readings` items and what it came to, for `done`, from the round,
   * how many were closed before it, the keys of its readings and the fields that each of them has; null: it stays open
   * @returns {Promise<any>} the summary; null where it stays open
   * @throws {StorageFull} it stays open
   */
  async close(build) {
    let earlier = [];
    let summary = null;
    await this.#step((kept) => {
      const { open, session, seq, done, last } = kept;
      const key = (part = 0) => `${session}-${seq + 1}${part ? `.${part}` : ""}`;
      const stamp = { taken_at: localIso(Date.now()), detail: { session } };
      const built = build({ open, place: done.length, key, stamp });
      if (!built) return { value: kept };
      earlier = last?.keys ?? [];
      summary = built.summary;
      const add = built.bodies.map((body) => ({ key: newKey("k"), kind: "readings", body }));
      const closed = { keys: add.map((item) => item.key), open };
      const value = { ...kept, open: this.#nothing, last: closed, seq: seq + 1, done: [...done, summary] };
      return { value, add };
    });
    await this.#queue.release(earlier);
    return summary;
  }

  /**
   * Take the last tap back, or where there is none the last round, which then is open again.
   * @param {(open: any) => any} shorter the round without its last tap; null where nothing was tapped
   * @returns {Promise<"tap"|"round"|"sent"|"nothing">} what was taken back; "sent": the round is on its way already
   * @throws {StorageFull} everything stays as it was
   */
  async undo(shorter) {
    let found = "nothing";
    const { taken } = await this.#step((kept) => {
      const less = shorter(kept.open);
      found = less !== null ? "tap" : kept.last ? "sent" : "nothing";
      if (less !== null) return { value: { ...kept, open: less } };
      if (!kept.last) return { value: kept };
      const otherwise = { ...kept, last: null };
      const value = { ...otherwise, open: kept.last.open, done: kept.done.slice(0, -1) };
      return { value, drop: kept.last.keys, otherwise };
    });
    return taken ? "round" : found;
  }

  async #step(change) {
    const done = await this.#queue.step(this.#name, (kept) => change(kept ?? this.#fresh));
    // read anew: acts that do not wait for one another are done in order, but may be told of in another
    this.#state = (await this.#queue.note(this.#name)) ?? this.#fresh;
    return done;
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
