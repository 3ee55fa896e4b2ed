/**
 * The time of a watch: whole milliseconds that only go forward, and what the wall clock said meanwhile.
 *
 * `performance.now()` stands still while most devices sleep, and `Date.now()` jumps when somebody sets the clock.
 * Each reading compares the two. Where they part, listeners are told how far: neither of the two is thrown away.
 * After a reload the time goes on from a saved anchor by the wall clock, and the time for which the page was closed
 * is told in the same way.
 */

const JUMP_MS = 500;
const SLEW = 0.0005; // clocks are corrected by up to this share of the time without being set

/**
 * A moment as the shop writes it: local, without a zone, to the millisecond.
 * @param {number} wall milliseconds since 1970
 */
export function localIso(wall) {
  const d = new Date(wall);
  const two = (n) => String(n).padStart(2, "0");
  const day = `${String(d.getFullYear()).padStart(4, "0")}-${two(d.getMonth() + 1)}-${two(d.getDate())}`;
  const time = `${two(d.getHours())}:${two(d.getMinutes())}:${two(d.getSeconds())}`;
  return `${day}T${time}.${String(d.getMilliseconds()).padStart(3, "0")}`;
}

/**
 * @typedef {{t: number, wall: number, origin: number, now: number}} Anchor
 * where a clock stood: its own time, the wall clock, `performance.timeOrigin` and `performance.now()`
 *
 * @typedef {{kind: "slept"|"clock"|"closed", t: number, extra_ms: number}} Jump
 * at time `t` the two clocks parted; the other one gives a stretch that spans it `extra_ms` more (or less)
 */
export class Clock {
  #perf;
  #wall;
  #base = 0; // time of this clock where `performance.now()` was #since
  #since;
  #last; // {now, wall} of the last comparison
  #latest = 0;
  #hidden = false;
  #listeners = new Set();
  #waiting = []; // jumps that nobody has heard of yet

  /**
   * @param {object} [from]
   * @param {Anchor|null} [from.anchor] where the clock of an earlier page stood; null: start at 0
   * @param {number} [from.start] what to start at in ms, without an anchor
   * @param {{now(): number, timeOrigin: number}} [from.perf]
   * @param {() => number} [from.wall]
   */
  constructor({ anchor = null, start = 0, perf = performance, wall = () => Date.now() } = {}) {
    this.#perf = perf;
    this.#wall = wall;
    this.#since = perf.now();
    this.#last = { now: this.#since, wall: wall() };
    this.#base = start;
    if (anchor) this.#goOn(anchor);
  }

  /** Go on from where an earlier page stood: by the wall clock, unless it went backwards meanwhile. */
  #goOn(anchor) {
    const byWall = this.#last.wall - anchor.wall;
    const bySystem = this.#perf.timeOrigin + this.#since - (anchor.origin + anchor.now);
    const away = Math.max(0, byWall >= 0 ? byWall : bySystem);
    this.#base = anchor.t + away;
    this.#latest = Math.round(this.#base);
    const set = byWall < 0 || Math.abs(byWall - bySystem) > JUMP_MS + Math.abs(byWall) * SLEW;
    // With a clock that was set the browser's own idea of the time away is the second opinion; else the moment of
    // closing is, because nobody was there to end the element.
    const other = set && bySystem >= 0 && byWall >= 0 ? bySystem : 0;
    this.#waiting.push({ kind: "closed", t: this.#latest, extra_ms: Math.round(other - away) });
  }

  /** The time in whole milliseconds, and the wall clock beside it. */
  read() {
    const now = this.#perf.now();
    const wall = this.#wall();
    this.#compare(now, wall);
    this.#latest = Math.max(this.#latest, Math.round(this.#base + now - this.#since));
    return { t: this.#latest, wall };
  }

  #compare(now, wall) {
    const passed = now - this.#last.now;
    const parted = wall - this.#last.wall - passed;
    this.#last = { now, wall };
    if (Math.abs(parted) <= JUMP_MS + passed * SLEW) return;
    const kind = parted > 0 && this.#hidden ? "slept" : "clock";
    const t = Math.max(this.#latest, Math.round(this.#base + now - this.#since));
    this.#latest = t;
    this.#tell({ kind, t, extra_ms: Math.round(parted) });
  }

  #tell(jump) {
    if (this.#listeners.size === 0) this.#waiting.push(jump);
    for (const listener of this.#listeners) listener(jump);
  }

  /** Hear of every jump, those that nobody has heard yet first. Returns a function that stops it. */
  onJump(listener) {
    this.#listeners.add(listener);
    for (const jump of this.#waiting.splice(0)) listener(jump);
    return () => this.#listeners.delete(listener);
  }

  /** Compare the clocks whenever the page comes back from somewhere. */
  watchPage(page = document, window_ = window) {
    const away = () => {
      this.read();
      this.#hidden = true;
    };
    const back = () => {
      this.read();
      this.#hidden = false;
    };
    page.addEventListener("visibilitychange", () => (page.visibilityState === "hidden" ? away() : back()));
    page.addEventListener("freeze", away);
    page.addEventListener("resume", back);
    window_.addEventListener("pageshow", back);
  }

  /** What a page that is opened later needs to go on from here. @returns {Anchor} */
  anchor() {
    const { t, wall } = this.read();
    return { t, wall, origin: this.#perf.timeOrigin, now: this.#perf.now() };
  }
}
