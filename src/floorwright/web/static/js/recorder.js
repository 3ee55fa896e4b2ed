/**
 * Carries what a watch says to the outbox, one change after the other, and never says "kept" before it is.
 */

import { newKey } from "./ids.js";
import { afterOpening, emptyLedger, plan, withDraft, withLate, withPending, withRelease } from "./ledger.js";

export class Recorder {
  #queue;
  #study;
  #ledger;
  #save;
  #last = Promise.resolve();

  /**
   * @param {import("./queue.js").Queue} queue
   * @param {number|{key: string}} study
   * @param {import("./ledger.js").Ledger|null} ledger as it was kept
   * @param {(ledger: object) => void} save keeps the ledger; called before and after each step, throws where it cannot
   */
  constructor(queue, study, ledger, save) {
    this.#queue = queue;
    this.#study = study;
    this.#ledger = ledger ?? emptyLedger();
    this.#save = save;
  }

  /** Compare a kept ledger with the outbox. */
  async open() {
    const held = new Map((await this.#queue.items()).map((item) => [item.key, item.hold_until !== null]));
    const { ledger, again } = afterOpening(this.#ledger, held);
    for (const rows of again) await this.#queue.append("readings", { study: this.#study, rows });
    this.#note(ledger);
  }

  #note(ledger) {
    this.#ledger = ledger;
    this.#save(ledger);
  }

  /** Bring the outbox to what the watch says. Resolves once all of it is on the disk; calls run one after the other. */
  record(rows, now) {
    const done = this.#last.then(() => this.#record(rows, now));
    this.#last = done.catch(() => {}); // the next change tries again, with all that is missing
    return done;
  }

  async #record(rows, now) {
    const { puts, late, release } = plan(this.#ledger, rows, now);
    for (const put of puts) await this.#put(put);
    for (const cycle of release) {
      const key = this.#ledger.drafts[cycle]?.key;
      if (!key) continue;
      this.#note(withRelease(this.#ledger, cycle));
      await this.#queue.release([key]);
    }
    for (const row of late) {
      this.#note(withPending(this.#ledger, row));
      await this.#queue.append("readings", { study: this.#study, rows: [row] });
      this.#note(withLate(this.#ledger, row));
    }
    // a draft that was on its way already: what changed in it since then is a correction
    if (this.#missed) {
      this.#missed = false;
      await this.#record(rows, now);
    }
  }

  #missed = false;

  async #put({ cycle, key, rows }) {
    const body = { study: this.#study, rows };
    if (key !== null) {
      // taken back or sent meanwhile: whoever opens the page after a crash between these lines cannot know
      const old = JSON.parse(this.#ledger.drafts[cycle].text);
      if (!rows.length) this.#note(withDraft(this.#ledger, cycle, key, old, false));
      if (await this.#queue.redraft(key, rows.length ? body : null)) {
        this.#note(withDraft(this.#ledger, cycle, key, rows, true));
      } else {
        this.#note(withRelease(this.#ledger, cycle));
        this.#missed = true;
      }
      return;
    }
    const made = newKey("k");
    this.#note(withDraft(this.#ledger, cycle, made, rows, false));
    await this.#queue.draft("readings", body, made);
    this.#note(withDraft(this.#ledger, cycle, made, rows, true));
  }
}
