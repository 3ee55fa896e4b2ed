/** The stopwatch: what the page shows, and what its pads and keys do. */

import { stayAwake } from "./awake.js";
import { localIso } from "./clock.js";
import { flash } from "./flash.js";
import { againstBefore, soFar } from "./live_line.js";
import { announcer, by, data, make, t } from "./page_data.js";
import { base64, shrink } from "./photo_shrink.js";
import { StorageFull, theQueue } from "./queue.js";
import { counted, current, cycleValues, doubtful, following, mayCount, rows, running } from "./watch.js";
import { Session } from "./watch_session.js";

const NOTE_PX = 1600; // a photo beside a lap is a note, and goes over the shop's network between laps
const BOUNCE_MS = 250; // a gloved thumb touches twice
const ASKED = `fw-asked-${data.study}`;
const CODE = /^[A-Z]{0,2}-?\d{1,6}[A-Z]?$/;

data.asked ||= localStorage.getItem(ASKED) !== null;
const queue = await theQueue();
const session = await Session.open(data, queue);
const say = announcer(by("told"));
let pads = [];
let sleepAgain = null;

// ---- what happens ---------------------------------------------------------------------------------------------------

/** Do something and confirm it once it is kept; what found no room is said at once. */
async function keep(work, { lapped = false, words = "" } = {}) {
  const warned = by("warning").textContent;
  try {
    if (!(await work())) return false;
    if (by("warning").textContent === warned) warn(""); // what came up meanwhile stays to be read
    if (lapped) flash(lapped === true ? "good" : lapped);
    if (words) say(words);
    draw();
    return true;
  } catch (error) {
    if (!(error instanceof StorageFull)) throw error;
    warn(t("full"));
    draw();
    return false;
  }
}

function warn(text) {
  by("warning").hidden = !text;
  if (by("warning").textContent !== text) by("warning").textContent = text;
}

const ON_PAD = { ready: "start", running: "lap", foreign: "back", paused: "resume" };

/** The big pad: start, lap, back to work or go on. */
function press(index, stamp = performance.now()) {
  const watch = session.watches[index];
  const k = ON_PAD[watch.state.now.phase];
  session.selected = index;
  if (!k || !data.asked || stamp - (watch.pressed ?? -Infinity) < BOUNCE_MS) return draw();
  watch.pressed = stamp;
  const ended = current(watch.state.now).name || t("cycle", { n: watch.state.now.cycle });
  const work = () => session.act(index, k, {}, stamp);
  return keep(work, { lapped: true }).then((done) => {
    if (done) say(k === "lap" ? t("lapped", { element: ended, time: seconds(lastMs()) }) : t(`said_${k}`), k !== "lap");
  });
}

const lastMs = () => session.watch.state.now.laps.at(-1)?.ms ?? 0;

/** A key of the row below the pad. */
function key(k, stamp) {
  const index = session.selected;
  const { phase } = session.watch.state.now;
  if (k === "undo") return keep(() => session.undo(index), { lapped: "warn", words: t("said_undo") });
  if (k === "foreign") k = phase === "foreign" ? "back" : "foreign";
  if (k === "pause") k = phase === "paused" ? "resume" : "pause";
  return keep(() => session.act(index, k, {}, stamp), { lapped: true, words: t(`said_${k}`) });
}

// ---- what is shown --------------------------------------------------------------------------------------------------

/** Milliseconds as a watch shows them: 12.3, 1:15.0, 1:02:03. */
function clock(ms) {
  const tenths = Math.floor(ms / 100);
  const [h, m, s] = [Math.floor(tenths / 36_000), Math.floor(tenths / 600) % 60, (tenths % 600) / 10];
  const two = (n) => String(n).padStart(2, "0");
  if (h) return `${h}:${two(m)}:${two(Math.floor(s))}`;
  return m ? `${m}:${s.toFixed(1).padStart(4, "0")}` : s.toFixed(1);
}

const seconds = (ms) => `${(ms / 1000).toFixed(1)} s`;

function draw() {
  if (pads.length !== session.watches.length) makePads();
  const { now } = session.watch.state;
  document.body.dataset.phase = now.phase;
  by("element").textContent = current(now).name || t("whole_cycle");
  by("cycle").textContent = cycleWords(now);
  by("next").textContent = now.steps.length > 1 ? t("then", { element: following(now).name }) : "";
  by("key-cycle").disabled = !mayEndCycle(now);
  by("key-undo").disabled = !session.watch.state.events.some((each) => each.k !== "gap");
  by("key-foreign").disabled = !["running", "foreign"].includes(now.phase);
  by("key-pause").disabled = !["running", "paused"].includes(now.phase);
  by("key-foreign").setAttribute("aria-pressed", now.phase === "foreign");
  by("key-pause").setAttribute("aria-pressed", now.phase === "paused");
  drawReasons(now);
  drawLive();
  drawDoubts();
  drawLaps(now);
  drawMore(now);
  pads.forEach(drawPad);
  drawTime();
  if (session.anyRunning) sleepAgain ??= stayAwake();
  else if (sleepAgain) sleepAgain = void sleepAgain();
}

const mayEndCycle = (now) =>
  now.phase === "running" &&
  now.steps.length > 1 &&
  now.laps.some((lap) => lap.kind === "work" && lap.cycle === now.cycle);

const cycleWords = (now) =>
  now.steps.length > 1 && now.extra === null
    ? t("cycle_of", { n: now.cycle, step: now.step + 1, steps: now.steps.length })
    : t("cycle", { n: now.cycle });

function makePads() {
  pads = session.watches.map((_, index) => {
    const [who, word, what] = ["who", "word", "what"].map((name) => make("span", { className: `pad-${name}` }));
    const pad = make("button", { type: "button", className: "pad" }, who, word, what);
    pad.addEventListener("pointerdown", (event) => {
      if (event.button === 0) press(index, event.timeStamp);
    });
    pad.addEventListener("click", (event) => {
      if (event.detail === 0) press(index, event.timeStamp); // assistive technology sends no pointer
    });
    pad.addEventListener("contextmenu", (event) => event.preventDefault());
    return { pad, who, word, what };
  });
  by("pads").replaceChildren(...pads.map(({ pad }) => pad));
  by("pads").dataset.many = Math.min(4, pads.length);
}

function drawPad({ pad, who, word, what }, index) {
  const { state } = session.watches[index];
  const { phase } = state.now;
  pad.dataset.phase = phase;
  pad.setAttribute("aria-pressed", index === session.selected && pads.length > 1);
  pad.disabled = phase === "ended" || !data.asked;
  who.textContent = pads.length > 1 ? state.setup.operator || t("person", { n: index + 1 }) : "";
  word.textContent = t(`pad_${phase}`);
  const element = current(state.now).name;
  const said = { running: "ends", ready: "begins" }[phase];
  what.textContent = said && element ? t(said, { element }) : "";
}

const REASONS = {
  paused: ["break", "waiting", "no_material", "machine_down", "other_work"],
  foreign: ["phone", "forklift", "helping", "question", "dropped"],
};

/** Why it stands still, in one tap: takes the place of the live line. */
function drawReasons(now) {
  const names = REASONS[now.phase];
  by("reasons").hidden = !names;
  by("live").hidden = Boolean(names);
  if (!names || by("reasons").dataset.phase === `${now.phase}${now.reason}`) return;
  by("reasons").dataset.phase = `${now.phase}${now.reason}`;
  const chips = names.map((name) => {
    const text = t(`reason_${name}`);
    const chip = make("button", { type: "button", className: "chip", text, "aria-pressed": now.reason === text });
    chip.addEventListener("click", () => keep(() => session.tell(session.selected, "reason", { text })));
    return chip;
  });
  by("reasons").replaceChildren(...chips);
}

/** Values of this page's watches, after those that the shop holds already from other sessions. */
function values() {
  const mine = new Set(session.watches.map(({ state: { setup } }) => `${setup.device}-${setup.session}`));
  const others = data.so_far.filter(([, name]) => !mine.has(name)).map(([value]) => value);
  return others.concat(session.watches.flatMap(({ state }) => cycleValues(rows(state), data.elements, data.measure)));
}

function drawLive() {
  const found = values();
  by("live-so-far").textContent = soFar(found, data.settings, t, data.planned);
  by("live-versus").textContent = againstBefore(data.before ?? [], found, data.settings, t);
}

function drawDoubts() {
  const open = session.watches.flatMap(({ state }, index) => doubtful(state).map((lap) => ({ lap, index })));
  by("doubts").hidden = open.length === 0;
  by("doubt-link").hidden = open.length === 0;
  by("live-versus").hidden = open.length > 0;
  by("doubt-link").textContent = t("doubts", { n: open.length });
  const name = open.map(({ lap, index }) => `${index}-${lap.n}`).join();
  if (by("doubt-list").dataset.shown === name) return;
  by("doubt-list").dataset.shown = name;
  by("doubt-list").replaceChildren(...open.map(({ lap, index }) => doubtItem(lap, index)));
}

function doubtItem(lap, index) {
  const { kinds, other_ms } = lap.doubt;
  const why = kinds.map((kind) => t(`doubt_${kind}`)).join(" ");
  const text = t("doubt", { element: lap.element || t("whole_cycle"), cycle: lap.cycle, why });
  const choose = (pick, words, may) => {
    const button = make("button", { type: "button", className: "button plain", text: words });
    button.disabled = !may;
    const work = () => session.tell(index, "choose", { of: lap.n, pick });
    button.addEventListener("click", () => keep(work, { lapped: true }));
    return button;
  };
  const buttons = make(
    "div",
    { className: "row" },
    choose("this", seconds(lap.ms), mayCount(lap.ms)),
    choose("other", seconds(other_ms), mayCount(other_ms)),
    choose("out", t("leave_out"), true),
  );
  return make("li", {}, make("p", { text }), buttons);
}

function drawLaps(now) {
  const shown = now.laps.slice(-12).reverse();
  by("laps").replaceChildren(...shown.map(lapRow));
  by("laps-block").hidden = shown.length === 0;
}

function lapRow(lap) {
  const ms = counted(lap);
  const more = [
    lap.kind === "foreign" ? t("foreign_lap") : "",
    lap.rating ? `${Math.round(lap.rating * 100)} %` : "",
    lap.note,
    lap.photo ? t("with_photo") : "",
    ms === null ? t(lap.doubt.pick === "out" ? "left_out" : "in_doubt") : "",
  ];
  return make(
    "tr",
    {},
    make("td", { text: String(lap.cycle), className: "n" }),
    make("td", { text: lap.element || t("whole_cycle") }),
    make("td", { text: seconds(ms ?? lap.ms), className: "n" }),
    make("td", { text: more.filter(Boolean).join(", ") }),
  );
}

function drawMore(now) {
  const last = now.laps.findLast((lap) => lap.kind === "work");
  for (const control of by("about-lap").elements) control.disabled = !last;
  const named = last && { element: last.element || t("whole_cycle"), time: seconds(last.ms) };
  by("about-which").textContent = last ? t("about", named) : t("about_none");
  for (const button of by("ratings").children) {
    button.setAttribute("aria-pressed", last?.rating === Number(button.value));
  }
  by("skip").hidden = now.steps.length < 2;
  by("skip").disabled = now.phase !== "running";
  by("done").disabled = !["running", "foreign", "paused"].includes(now.phase);
  by("anew").hidden = session.anyRunning || now.phase !== "ended";
  by("operator").disabled = now.phase !== "ready";
  if (document.activeElement !== by("operator")) by("operator").value = session.watch.state.setup.operator;
  for (const button of by("extras").children) {
    button.disabled = now.phase !== "running";
    button.setAttribute("aria-pressed", now.extra === Number(button.value));
  }
}

function drawTime() {
  const { state } = session.watch;
  const at = running(state, session.time());
  const { phase } = state.now;
  const still = phase === "foreign" || phase === "paused";
  const shown = still ? at.stretch_ms : state.setup.timing === "continuous" ? at.watch_ms : at.element_ms;
  by("time").textContent = clock(shown);
  const small = state.setup.timing === "continuous" ? t("this_element", { time: clock(at.element_ms) }) : "";
  by("time-small").textContent = still ? t(`for_${phase}`) : small;
  if (pads.length > 1) {
    pads.forEach(({ who }, index) => {
      const each = session.watches[index].state;
      const name = each.setup.operator || t("person", { n: index + 1 });
      who.textContent = `${name} · ${clock(running(each, session.time()).element_ms)}`;
    });
  }
}

function frame() {
  if (session.anyRunning) drawTime();
  setTimeout(() => requestAnimationFrame(frame), 80);
}

// ---- the rest of the page -------------------------------------------------------------------------------------------

function wire() {
  for (const k of ["cycle", "undo", "foreign", "pause"]) {
    by(`key-${k}`).addEventListener("click", (event) => key(k, event.timeStamp));
  }
  by("skip").addEventListener("click", () => keep(() => session.act(session.selected, "skip")));
  by("done").addEventListener("click", () =>
    keep(() => session.act(session.selected, "end"), { lapped: true, words: t("said_end") }),
  );
  by("anew").addEventListener("click", () => session.anew().then(draw));
  by("about-lap").addEventListener("submit", addNote);
  for (const button of by("ratings").children) {
    const rating = () => ({ value: Number(button.value), whole: by("rate-whole").checked });
    button.addEventListener("click", () => keep(() => session.tell(session.selected, "rate", rating())));
  }
  by("photo").addEventListener("change", takePhoto);
  by("operator").addEventListener("change", nameOperator);
  by("add-person").addEventListener("click", addPerson);
  by("ask-yes").addEventListener("click", wereAsked);
  by("use-keys").checked = localStorage.getItem("fw-keys") !== "off";
  by("use-keys").addEventListener("change", () =>
    localStorage.setItem("fw-keys", by("use-keys").checked ? "on" : "off"),
  );
  addEventListener("keydown", onKey);
  addEventListener("keyup", (event) => event.key === " " && ours(event) && event.preventDefault());
  by("extras").replaceChildren(
    ...session.watch.state.now.extras.map((each, place) => {
      const button = make("button", { type: "button", className: "chip", text: each.name, value: String(place) });
      button.addEventListener("click", () => keep(() => session.act(session.selected, "pick", { step: place })));
      return button;
    }),
  );
  by("extras-block").hidden = by("extras").children.length === 0;
}

async function addNote(event) {
  event.preventDefault();
  const text = by("note").value.trim();
  const of = lastWork()?.n;
  if (!text) return;
  const done = await keep(() => session.tell(session.selected, "note", { text, of }), { words: t("said_note") });
  if (done) by("note").value = "";
}

const lastWork = () => session.watch.state.now.laps.findLast((lap) => lap.kind === "work");

const KEYS = { n: "cycle", z: "undo", f: "foreign", p: "pause" };
const TYPING = "input, textarea, select, [contenteditable]";

/** Whether a key press is the watch's: not while something is typed, and the space bar not on another button. */
function ours(event) {
  if (!by("use-keys").checked || event.ctrlKey || event.metaKey || event.altKey) return false;
  const at = event.target;
  if (at.matches?.(TYPING) && at.type !== "checkbox") return false;
  return event.key !== " " || !at.closest?.("button:not(.pad), a, summary, input");
}

function onKey(event) {
  if (event.repeat || !ours(event)) return;
  const k = event.key === " " ? "pad" : KEYS[event.key.toLowerCase()];
  if (!k || (k !== "pad" && by(`key-${k}`).disabled)) return;
  event.preventDefault();
  if (k !== "pad") key(k, event.timeStamp);
  else {
    const at = pads.findIndex(({ pad }) => pad === event.target);
    press(at < 0 ? session.selected : at, event.timeStamp);
  }
}

async function takePhoto() {
  const file = by("photo").files[0];
  if (!file) return;
  const index = session.selected;
  const of = lastWork()?.n;
  const work = async () => {
    const jpeg = await base64(await shrink(file, NOTE_PX));
    const moment = data.moment === "before" ? "before" : "after";
    const body = { improvement: data.improvement, moment, caption: data.measure.name, jpeg };
    return session.tell(index, "photo", { photo: await queue.append("photo", body), of });
  };
  await keep(work, { words: t("said_photo") });
  by("photo").value = "";
}

function nameOperator() {
  const text = by("operator").value.trim().toUpperCase();
  const fine = text === "" || CODE.test(text);
  by("operator").setAttribute("aria-invalid", !fine);
  by("operator-wrong").hidden = fine;
  if (fine) session.rename(session.selected, text);
  draw();
}

/** With several people each needs a code, so that their cycles stay apart. */
async function addPerson() {
  const taken = new Set(session.watches.map(({ state }) => state.setup.operator));
  const free = () => Array.from({ length: 99 }, (_, i) => `W${i + 1}`).find((code) => !taken.has(code));
  if (session.watches.length === 1 && !session.watch.state.setup.operator) {
    session.rename(0, free());
    taken.add(session.watch.state.setup.operator);
  }
  await session.add(free());
  draw();
}

async function wereAsked() {
  const people_asked_on = localIso(Date.now()).slice(0, 10);
  const { study, version } = data;
  const work = async () => Boolean(await queue.append("asked", { study, people_asked_on, version }));
  if (!(await keep(work, { words: t("said_asked") }))) return;
  localStorage.setItem(ASKED, people_asked_on); // a page kept for use without a network does not know it yet
  data.asked = true;
  by("ask").hidden = true;
  draw();
}

session.onChange = (jump) => {
  if (jump && session.anyRunning) warn(t(`jump_${jump.kind}`));
  draw();
};
session.onTakenOver = () => {
  warn(t("taken_over"));
  for (const { pad } of pads) pad.disabled = true;
};

by("ask").hidden = data.asked;
wire();
draw();
frame();
document.body.dataset.ready = "yes";
if (session.wentOn) warn(t("jump_closed"));
if (location.hash === "#start") {
  history.replaceState(null, "", location.pathname);
  if (data.asked && session.watch.state.now.phase === "ready") press(session.selected, 0);
}
