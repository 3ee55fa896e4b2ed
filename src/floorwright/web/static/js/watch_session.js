/**
 * The watches of one page: kept on the device at every change, gone on with after a reload, carried to the outbox.
 * Several people timed at once are several watches on one clock.
 */

import { Clock, localIso } from "./clock.js";
import { deviceId, newKey, newSession } from "./ids.js";
import { StorageFull } from "./outbox.js";
import { Recorder } from "./recorder.js";
import { begin, doubtful, parse, rows, serialise, step, undo } from "./watch.js";

const running = (watch) => !["ready", "ended"].includes(watch.state.now.phase);
const done = (watch) => watch.state.now.phase === "ended" && doubtful(watch.state).length === 0;

export class Session {
  watches = [];
  selected = 0;
  #data;
  #queue;
  #clock;
  #name;
  #owner = newKey("tab");
  #lost = false;
  onChange = () => {};
  onTakenOver = () => {};

  constructor(data, queue) {
    this.#data = data;
    this.#queue = queue;
    this.#name = `fw-watch-${data.study}`;
  }

  /** The watches of a study as they were left, or a new one. */
  static async open(data, queue) {
    const session = new Session(data, queue);
    const kept = JSON.parse(localStorage.getItem(session.#name) ?? "null");
    await session.#restore(kept);
    return session;
  }

  async #restore(kept) {
    for (const { text, ledger } of kept?.watches ?? []) await this.#adopt(parse(text), ledger);
    for (const watch of this.watches) await this.#carry(watch);
    // people who were named but not timed yet are named again, on the numbers of today
    const named = this.watches.filter(({ state }) => state.now.phase === "ready" && state.setup.operator);
    this.watches = this.watches.filter((watch) => running(watch) || doubtful(watch.state).length);
    const anchor = this.anyRunning ? JSON.parse(localStorage.getItem(`${this.#name}-clock`) ?? "null") : null;
    this.#clock = new Clock({ anchor, start: performance.now() });
    this.wentOn = anchor !== null;
    for (const { state } of named) await this.add(state.setup.operator);
    if (!this.watches.some((watch) => watch.state.now.phase !== "ended")) await this.add();
    this.selected = Math.min(kept?.selected ?? 0, this.watches.length - 1);
    this.#clock.onJump((jump) => this.#jumped(jump));
    this.#clock.watchPage();
    this.#keep();
    this.#keepClock();
    setInterval(() => this.#keepClock(), 1000);
    addEventListener("pagehide", () => this.#keepClock());
    document.addEventListener("visibilitychange", () => this.#keepClock());
    addEventListener("storage", ({ key, newValue }) => {
      if (key === this.#name && newValue && JSON.parse(newValue).owner !== this.#owner) this.#giveUp();
    });
  }

  #giveUp() {
    this.#lost = true;
    this.onTakenOver();
  }

  async #adopt(state, ledger) {
    const watch = { state, ledger };
    watch.recorder = new Recorder(this.#queue, this.#data.study, ledger, (next) => {
      watch.ledger = next;
      this.#keep();
    });
    this.watches.push(watch);
    await watch.recorder.open();
    return watch;
  }

  /** Another person, or the first one. */
  async add(operator = "") {
    const { elements, timing, first_cycle } = this.#data;
    const setup = { device: deviceId(), session: newSession(), elements, timing, operator, firstCycle: first_cycle };
    const watch = await this.#adopt(begin(setup), null);
    this.selected = this.watches.indexOf(watch);
    this.#keep();
    return watch;
  }

  /** Name the person by a code; for a watch that has not started. */
  rename(index, operator) {
    const watch = this.watches[index];
    watch.state = { ...watch.state, setup: { ...watch.state.setup, operator } };
    this.#keep();
  }

  /** The watch that the keys act on. */
  get watch() {
    return this.watches[this.selected];
  }

  get anyRunning() {
    return this.watches.some(running);
  }

  time() {
    return this.#clock.read().t;
  }

  /**
   * Something happened at a moment (`stamp`, as events carry it). Resolves with true once it is on the disk, with false
   * where it makes no sense now.
   * @throws {StorageFull}
   */
  act(index, k, more = {}, stamp = performance.now()) {
    const { t, wall } = this.#clock.read();
    const late = Math.max(0, performance.now() - stamp);
    const timed = { k, t: Math.max(0, Math.round(t - late)), at: localIso(wall - late), ...more };
    return this.#set(index, (state) => step(state, timed));
  }

  /** About a lap; takes no time. */
  tell(index, k, more) {
    return this.#set(index, (state) => step(state, { k, ...more }));
  }

  undo(index) {
    return this.#set(index, undo);
  }

  async #set(index, change) {
    const watch = this.watches[index];
    if (this.#lost || !watch) return false;
    const next = change(watch.state);
    if (next === watch.state) return false;
    watch.state = next;
    this.#keep();
    this.onChange();
    await this.#carry(watch);
    return true;
  }

  #carry({ state, recorder }) {
    return recorder.record(rows(state), { cycle: state.now.cycle, ended: state.now.phase === "ended" });
  }

  /** Bring again to the outbox what found no room before. */
  async retry() {
    for (const watch of this.watches) await this.#carry(watch);
  }

  #jumped(jump) {
    for (const watch of this.watches) watch.state = step(watch.state, { ...jump, k: "gap" });
    this.#keep();
    this.onChange(jump);
  }

  /** Laps of earlier sessions are gone from the page once they are at rest; start anew. */
  async anew() {
    this.watches = this.watches.filter((watch) => !done(watch) && running(watch));
    await this.add();
  }

  #keep() {
    if (this.#lost) return;
    const watches = this.watches.map(({ state, ledger }) => ({ text: serialise(state), ledger }));
    this.#write(this.#name, { owner: this.#owner, selected: this.selected, watches });
  }

  #keepClock() {
    if (this.#lost || !this.anyRunning) return;
    try {
      this.#write(`${this.#name}-clock`, this.#clock.anchor());
    } catch (error) {
      if (!(error instanceof StorageFull)) throw error; // the next lap says that there is no room
    }
  }

  #write(name, value) {
    try {
      localStorage.setItem(name, JSON.stringify(value));
    } catch (error) {
      throw new StorageFull(error.message);
    }
  }
}
