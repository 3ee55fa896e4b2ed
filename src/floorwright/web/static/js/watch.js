/**
 * A time study as a pure state machine: a list of events, folded into what the watch shows.
 *
 * Times are whole milliseconds on one axis (`Clock`), so that sums come out exactly. Every millisecond from the start
 * belongs to one thing: an element, a foreign stretch, a pause, or the stretch that is still open. Undo takes the last
 * event out and folds again, which puts its time back where it belongs; what the clock did (`gap`) is a fact and stays.
 *
 * @typedef {{name: string, work?: "setup"|"run", frequency?: number}} Element
 * @typedef {object} Setup
 * @property {string} device
 * @property {string} session
 * @property {Element[]} elements in order; none: the whole cycle is timed
 * @property {"snapback"|"continuous"} timing
 * @property {string} [operator] a code such as W3, never a name
 * @property {number} [firstCycle]
 *
 * @typedef {{k: string, t?: number, at?: string, [field: string]: any}} Event
 * start, lap, cycle, skip, pick {step}, foreign, back {note?}, pause {reason?}, resume, end: with t (ms) and at (local
 * moment); reason {text}: why it stands still, of a foreign stretch or a pause; rate {value, whole?}, note {text, of?},
 * photo {photo, of?}, choose {of, pick}: about a lap;
 * gap {t, kind, extra_ms}: the clocks parted.
 */

export const LONGEST_MS = 12 * 3600 * 1000; // a longer time is a slip: no element of work outlasts a shift

/** @typedef {{v: 1, setup: Setup, events: Event[], seq: number, now: Folded}} State */

/** A watch that has not started. @param {Setup} setup @returns {State} */
export function begin(setup) {
  return { v: 1, setup, events: [], seq: 0, now: nothingYet(setup) };
}

/** The elements of a cycle in order; one that occurs several times a cycle comes several times. */
export function stepsOf(setup) {
  const regular = setup.elements.filter((each) => (each.frequency ?? 1) >= 1);
  const listed = regular.length ? regular : setup.elements;
  if (!listed.length) return [{ name: "", work: "run" }];
  return listed.flatMap((each) =>
    Array.from({ length: Math.max(1, Math.round(each.frequency ?? 1)) }, () => ({
      name: each.name,
      work: each.work ?? "run",
    })),
  );
}

/** Elements that occur less often than once a cycle: picked when they come. */
export function extrasOf(setup) {
  const all = setup.elements;
  const rare = all.filter((each) => (each.frequency ?? 1) < 1);
  return rare.length === all.length ? [] : rare.map((each) => ({ name: each.name, work: each.work ?? "run" }));
}

function nothingYet(setup) {
  return {
    phase: "ready",
    t: 0,
    start: 0,
    steps: stepsOf(setup),
    extras: extrasOf(setup),
    cycle: setup.firstCycle ?? 1,
    step: 0,
    extra: null,
    open: emptyStretch(),
    since: 0,
    reason: "",
    laps: [],
    paused_ms: 0,
    left_ms: 0,
  };
}

const emptyStretch = () => ({ ms: 0, gaps: [], paused_ms: 0, reasons: [] });

/** The element that is timed now. */
export const current = (now) => (now.extra === null ? now.steps[now.step] : now.extras[now.extra]);

/** The element after it. */
export function following(now) {
  if (now.extra !== null) return now.steps[now.step];
  const place = nextStep(now, now.step);
  return now.steps[place === null ? firstStep(now) : place];
}

/** Set-up at the head of the list is done once, in the first cycle. */
const firstStep = (now) => {
  const run = now.steps.findIndex((each) => each.work === "run");
  return run < 0 ? 0 : run;
};
const nextStep = (now, step) => (step + 1 < now.steps.length ? step + 1 : null);

/**
 * The state after an event. An event that makes no sense now leaves the state as it is (the same object).
 * @param {State} state @param {Event} event @returns {State}
 */
export function step(state, event) {
  const numbered = { ...event, n: state.seq + 1 };
  const now = fold(state.now, numbered);
  if (now === state.now) return state;
  return { ...state, seq: numbered.n, events: [...state.events, numbered], now };
}

/** Whether there is something to undo. */
export const canUndo = (state) => state.events.some((each) => each.k !== "gap");

/** The state without its last event. Numbers are never used twice, so that a row which was sent stays what it was. */
export function undo(state) {
  const last = state.events.findLastIndex((each) => each.k !== "gap");
  if (last < 0) return state;
  const events = state.events.filter((each, i) => i !== last);
  return refold({ ...state, events, seq: state.seq + 1 });
}

function refold(state) {
  let now = nothingYet(state.setup);
  for (const event of state.events) now = fold(now, event);
  return { ...state, now };
}

/** What has to be kept so that the state can be made again. */
export const serialise = (state) =>
  JSON.stringify({ v: state.v, setup: state.setup, events: state.events, seq: state.seq });

/** The state out of what was kept. @returns {State} */
export function parse(text) {
  const { v, setup, events, seq } = JSON.parse(text);
  if (v !== 1) throw new Error(`a watch of version ${v} cannot be read`);
  return refold({ v, setup, events, seq, now: nothingYet(setup) });
}

// ---- folding ------------------------------------------------------------------------------------------------------

/** One event more; the same object where it makes no sense. */
function fold(now, event) {
  const act = ACTS[event.k];
  if (!act) return now;
  const t = event.t === undefined ? now.t : Math.max(now.t, event.t);
  const found = act(now, { ...event, t });
  return found === null ? now : { ...found, t };
}

const timing = (now) => now.phase === "running";

/** The open stretch up to t, put into what the element has already. */
const closed = (now, t) => ({ ...now.open, ms: now.open.ms + t - now.since });

const ACTS = {
  start: (now, e) => (now.phase === "ready" ? { ...now, phase: "running", start: e.t, since: e.t } : null),
  lap: (now, e) => (timing(now) ? endElement(now, e) : null),
  cycle: (now, e) => {
    if (!timing(now)) return null;
    // With several elements a cycle in which none has ended yet is not over: a second tap on "next cycle" is a slip.
    const begun = now.extra === null && !now.laps.some((lap) => lap.kind === "work" && lap.cycle === now.cycle);
    if (begun && now.steps.length > 1) return null;
    const ended = endElement(now, e) ?? now;
    return ended.cycle > now.cycle ? ended : { ...ended, extra: null, ...newCycle(ended) };
  },
  skip: (now) => {
    if (!timing(now)) return null;
    if (now.extra !== null) return { ...now, extra: null };
    return now.steps.length < 2 ? null : { ...now, ...onward(now) };
  },
  pick: (now, e) => (timing(now) && now.extras[e.step] && now.extra !== e.step ? { ...now, extra: e.step } : null),
  foreign: (now, e) =>
    timing(now) ? { ...now, phase: "foreign", open: closed(now, e.t), since: e.t, reason: "" } : null,
  back: (now, e) => (now.phase === "foreign" ? endForeign(now, e) : null),
  pause: (now, e) =>
    timing(now) ? { ...now, phase: "paused", open: closed(now, e.t), since: e.t, reason: e.reason ?? "" } : null,
  resume: (now, e) => (now.phase === "paused" ? endPause(now, e) : null),
  reason: (now, e) =>
    (now.phase === "paused" || now.phase === "foreign") && now.reason !== e.text ? { ...now, reason: e.text } : null,
  end: (now, e) => {
    if (now.phase === "ready" || now.phase === "ended") return null;
    const done = now.phase === "foreign" ? endForeign(now, e) : now.phase === "paused" ? endPause(now, e) : now;
    return { ...done, phase: "ended", left_ms: closed(done, e.t).ms, open: emptyStretch(), since: e.t };
  },
  gap: (now, e) => {
    if (now.phase === "ready") return null;
    // Outside an element nothing is in doubt, but the fact is kept: an undo may put the stretch back into an element.
    if (!timing(now)) return { ...now };
    return { ...now, open: { ...now.open, gaps: [...now.open.gaps, { kind: e.kind, extra_ms: e.extra_ms }] } };
  },
  rate: (now, e) => {
    const last = lastWork(now);
    if (!last) return null;
    const rated = (lap) => (e.whole ? lap.cycle === last.cycle : lap.n === (e.of ?? last.n));
    return changed(now, (lap) => lap.kind === "work" && rated(lap), { rating: e.value ?? null });
  },
  note: (now, e) => about(now, e, { note: e.text }),
  photo: (now, e) => about(now, e, { photo: e.photo }),
  choose: (now, e) => {
    const lap = now.laps.find((each) => each.n === e.of);
    if (!lap?.doubt || !["this", "other", "out", null].includes(e.pick) || lap.doubt.pick === e.pick) return null;
    if (e.pick === "other" && !mayCount(lap.doubt.other_ms)) return null;
    if (e.pick === "this" && !mayCount(lap.ms)) return null;
    return changed(now, (each) => each === lap, { doubt: { ...lap.doubt, pick: e.pick } });
  },
};

/** A time that the shop's record would take. */
export const mayCount = (ms) => ms > 0 && ms <= LONGEST_MS;

const lastWork = (now) => now.laps.findLast((lap) => lap.kind === "work");

function about(now, e, fields) {
  const lap = e.of === undefined ? now.laps.at(-1) : now.laps.find((each) => each.n === e.of);
  return lap ? changed(now, (each) => each === lap, fields) : null;
}

const changed = (now, which, fields) => ({
  ...now,
  laps: now.laps.map((lap) => (which(lap) ? { ...lap, ...fields } : lap)),
});

function endElement(now, e) {
  const open = closed(now, e.t);
  if (open.ms <= 0) return null;
  const { name, work } = current(now);
  const lap = {
    n: e.n,
    kind: "work",
    cycle: now.cycle,
    element: name,
    work,
    ms: open.ms,
    at: e.at ?? "",
    watch_ms: e.t - now.start,
    paused_ms: open.paused_ms,
    reasons: open.reasons,
    rating: null,
    note: "",
    photo: "",
    doubt: doubtOf(open),
  };
  const ended = { ...now, laps: [...now.laps, lap], open: emptyStretch(), since: e.t };
  if (now.extra !== null) return { ...ended, extra: null };
  return { ...ended, ...onward(now) };
}

function onward(now) {
  const place = nextStep(now, now.step);
  return place === null ? newCycle(now) : { step: place };
}

const newCycle = (now) => ({ step: firstStep(now), cycle: now.cycle + 1 });

function doubtOf(open) {
  const kinds = [...new Set(open.gaps.map((gap) => gap.kind))];
  if (open.ms > LONGEST_MS) kinds.push("long");
  if (!kinds.length) return null;
  const extra = open.gaps.reduce((sum, gap) => sum + gap.extra_ms, 0);
  return { kinds, other_ms: Math.max(0, open.ms + extra), pick: null };
}

function endForeign(now, e) {
  const ms = e.t - now.since;
  const going = { ...now, phase: "running", since: e.t, reason: "" };
  if (ms <= 0) return going;
  const lap = {
    n: e.n,
    kind: "foreign",
    cycle: now.cycle,
    element: current(now).name,
    work: current(now).work,
    ms,
    at: e.at ?? "",
    watch_ms: e.t - now.start,
    paused_ms: 0,
    reasons: [],
    rating: null,
    note: e.note ?? now.reason,
    photo: "",
    doubt: null,
  };
  return { ...going, laps: [...now.laps, lap] };
}

function endPause(now, e) {
  const ms = e.t - now.since;
  const reasons = now.reason ? [...now.open.reasons, now.reason] : now.open.reasons;
  const open = { ...now.open, paused_ms: now.open.paused_ms + ms, reasons };
  return { ...now, phase: "running", since: e.t, open, paused_ms: now.paused_ms + ms, reason: "" };
}

// ---- what it says -------------------------------------------------------------------------------------------------

/** Milliseconds of the element that is timed now, and of the stretch that runs (foreign or pause). */
export function running(state, t) {
  const now = state.now;
  const at = Math.max(now.t, t);
  const stretch = now.phase === "ready" || now.phase === "ended" ? 0 : at - now.since;
  return {
    element_ms: now.open.ms + (timing(now) ? stretch : 0),
    stretch_ms: stretch,
    watch_ms: now.phase === "ready" ? 0 : (now.phase === "ended" ? now.since : at) - now.start,
  };
}

/** Where every millisecond went. The parts add up to `elapsed`. */
export function totals(state, t) {
  const { now } = state;
  const sum = (which) => now.laps.filter(which).reduce((all, lap) => all + lap.ms, 0);
  const { element_ms, stretch_ms, watch_ms } = running(state, t);
  return {
    elapsed: watch_ms,
    laps: sum((lap) => lap.kind === "work" && !lap.doubt),
    foreign: sum((lap) => lap.kind === "foreign") + (now.phase === "foreign" ? stretch_ms : 0),
    paused: now.paused_ms + (now.phase === "paused" ? stretch_ms : 0),
    doubtful: sum((lap) => lap.kind === "work" && lap.doubt),
    open: element_ms + now.left_ms,
  };
}

/** Laps that wait for a person to say which of the two times counts. */
export const doubtful = (state) => state.now.laps.filter((lap) => lap.doubt && lap.doubt.pick === null);

/** Milliseconds that count for a lap; null while nobody has chosen, or where it was left out. */
export function counted(lap) {
  if (!lap.doubt) return lap.ms;
  if (lap.doubt.pick === "this") return lap.ms;
  return lap.doubt.pick === "other" ? lap.doubt.other_ms : null;
}

/** The readings as the shop's record takes them. */
export function rows(state) {
  return state.now.laps.filter((lap) => counted(lap) !== null).map((lap) => rowOf(state.setup, lap));
}

function rowOf(setup, lap) {
  const row = {
    key: `${setup.device}-${setup.session}-${lap.n}`,
    taken_at: lap.at,
    cycle: lap.cycle,
    element: lap.element,
    value: counted(lap) / 1000,
    work: lap.work,
    detail: detailOf(setup, lap),
  };
  if (lap.kind === "foreign") row.foreign = true;
  if (lap.rating !== null) row.rating = lap.rating;
  if (lap.note) row.note = lap.note;
  if (setup.operator) row.operator = setup.operator;
  return row;
}

function detailOf(setup, lap) {
  const detail = { session: `${setup.device}-${setup.session}` };
  if (setup.timing === "continuous") detail.watch_s = lap.watch_ms / 1000;
  if (lap.paused_ms) detail.paused_s = lap.paused_ms / 1000;
  if (lap.reasons.length) detail.paused_for = lap.reasons;
  if (lap.photo) detail.photo = lap.photo;
  if (lap.doubt) {
    const { kinds, other_ms, pick } = lap.doubt;
    detail.doubt = { kinds, this_s: lap.ms / 1000, other_s: other_ms / 1000, pick };
  }
  return detail;
}

/**
 * Values of whole cycles as the comparison takes them: foreign stretches and set-up left out (unless the measure has it
 * in), cycles that lack an element left out.
 * @param {object[]} readings rows of one watch
 * @param {{element?: string, include_setup?: boolean}} measure
 */
export function cycleValues(readings, elements, measure) {
  const wanted = readings.filter(
    (row) =>
      !row.foreign &&
      (measure.include_setup || row.work === "run") &&
      (!measure.element || row.element === measure.element || (!elements.length && row.element === "")),
  );
  const needed = measure.element
    ? elements.length ? [measure.element] : []
    : elements
        .filter((each) => (each.frequency ?? 1) >= 1 && (measure.include_setup || (each.work ?? "run") === "run"))
        .map((each) => each.name);
  const cycles = new Map();
  for (const row of wanted) cycles.set(row.cycle, [...(cycles.get(row.cycle) ?? []), row]);
  return [...cycles.values()]
    .filter((group) => needed.every((name) => group.some((row) => row.element === name)))
    .map((group) => group.reduce((sum, row) => sum + row.value, 0));
}
