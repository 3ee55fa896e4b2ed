/**
 * Times from a video that never leaves the device: play, slow down, step by frame, mark where the elements end. The
 * marks are the events of a watch whose time is the video's: laps, foreign stretches and cycles mean the same as there.
 */

import { askFirst, wereAsked } from "./ask_first.js";
import { localIso } from "./clock.js";
import { flash } from "./flash.js";
import { deviceId, newSession } from "./ids.js";
import { againstBefore, soFar } from "./live_line.js";
import { announcer, by, data, make, t } from "./page_data.js";
import { theQueue } from "./queue.js";
import { keeper } from "./rounds.js";
import { begin, current, cycleValues, rows, step } from "./watch.js";

const video = by("video");
const queue = await theQueue();
const say = announcer(by("told"));
let name = ""; // where the marks of this file are kept
let marks = []; // {k, t}: t in ms of the video
let frames = [];

const warn = (text) => {
  by("warning").hidden = !text;
  by("warning").textContent = text;
};
const keep = keeper({ confirm: () => draw(), refuse: (key) => warn(key ? t(key) : "") });

const fps = () => Math.min(1000, Math.max(1, Number(by("fps").value) || 30));
const frameNow = () => Math.floor(video.currentTime * fps() + 0.001);
const frameTime = () => Math.round((frameNow() / fps()) * 1000);
const inOrder = () => [...marks].sort((a, b) => a.t - b.t);

/** The watch that the marks make. Marks that make no sense where they stand are left out. */
function watch(session = "video") {
  const { elements, first_cycle: firstCycle } = data;
  const setup = { device: deviceId(), session, elements, timing: "continuous", firstCycle };
  const recorded = new Date(by("recorded").value || Date.now()).getTime();
  return inOrder().reduce(
    (state, { k, t: at }, place) => step(state, { k: place ? k : "start", t: at, at: localIso(recorded + at) }),
    begin(setup),
  );
}

function save(next) {
  localStorage.setItem(name, JSON.stringify({ marks: next, fps: by("fps").value, recorded: by("recorded").value }));
  marks = next;
}

function mark(k) {
  if (!name || !wereAsked()) return undefined;
  video.pause();
  const at = frameTime();
  if (marks.some((each) => each.t === at)) return warn(t("not_later"));
  const foreign = watch().now.phase === "foreign";
  const kind = foreign ? "back" : k;
  return keep(() => save([...marks, { k: marks.length ? kind : "start", t: at }])).then(() => {
    flash();
    say(by("marks").lastElementChild?.firstElementChild?.textContent ?? "");
  });
}

const undo = () => keep(() => save(marks.slice(0, -1)));
const remove = (at) => keep(() => save(marks.filter((each) => each.t !== at)));

/** Move a mark by frames. */
function nudge(at, by_frames) {
  const to = Math.max(0, at + Math.round((by_frames * 1000) / fps()));
  return keep(() => save(marks.map((each) => (each.t === at ? { ...each, t: to } : each))));
}

async function send() {
  const found = rows(watch(newSession()));
  if (!found.length) return;
  const from = { from: "video", fps: fps() };
  const body = { study: data.study, rows: found.map((row) => ({ ...row, detail: { ...row.detail, ...from } })) };
  const done = await keep(async () => {
    await queue.append("readings", body);
    save([]);
    return true;
  });
  if (!done) return;
  flash();
  by("sent").textContent = t("sent", { n: found.length });
  say(by("sent").textContent, true);
}

const time = (ms) => {
  const s = ms / 1000;
  return `${Math.floor(s / 60)}:${(s % 60).toFixed(2).padStart(5, "0")}`;
};

function draw() {
  const state = watch();
  const { now } = state;
  const element = current(now).name || t("whole_cycle");
  by("mark").textContent = marks.length ? t("mark_end", { element }) : t("mark_start");
  by("mark").disabled = !name || !wereAsked();
  for (const id of ["foreign", "next-cycle"]) by(id).disabled = !marks.length || !wereAsked();
  by("undo").disabled = !marks.length;
  by("foreign").setAttribute("aria-pressed", now.phase === "foreign");
  by("play").textContent = video.paused ? t("play") : t("stop");
  by("at").textContent = name ? time(frameTime()) : "";
  by("marks").replaceChildren(...markList());
  const found = rows(state);
  by("send").disabled = !found.length;
  const values = data.so_far.map(([value]) => value).concat(cycleValues(found, data.elements, data.measure));
  const hint = t(name ? "nothing_marked" : "choose");
  by("live").textContent = marks.length ? soFar(values, data.settings, t, data.planned) : hint;
  by("versus").textContent = marks.length ? againstBefore(data.before ?? [], values, data.settings, t) : "";
}

/** One mark in the list: what ends there, a jump to it, a frame to either side, and away with it. */
function markItem(at, words) {
  const go = make("button", { type: "button", className: "link", text: words });
  go.addEventListener("click", () => (video.currentTime = at / 1000 + 0.5 / fps()));
  const button = (text, label, act) => {
    const named = { type: "button", className: "button plain", text, "aria-label": `${label}: ${words}` };
    const made = make("button", named);
    made.addEventListener("click", act);
    return made;
  };
  const back = button("\u22121", t("frame_back"), () => nudge(at, -1));
  const on = button("+1", t("frame_on"), () => nudge(at, 1));
  return make("li", { className: "row" }, go, back, on, button("\u00d7", t("remove"), () => remove(at)));
}

const MARK_WORDS = { foreign: "mark_foreign", back: "mark_back" };

/** The marks in order, each in words; the element that ends follows from the marks before it. */
function markList() {
  let state = begin({ device: "", session: "", elements: data.elements });
  return inOrder().map(({ k, t: at }, place) => {
    const element = current(state.now).name || t("whole_cycle");
    const words = t(place ? (MARK_WORDS[k] ?? "mark") : "started", { element, time: time(at) });
    state = step(state, { k: place ? k : "start", t: at, at: "" });
    return markItem(at, words);
  });
}

function choose() {
  const file = by("file").files[0];
  if (!file) return;
  if (video.src) URL.revokeObjectURL(video.src);
  video.src = URL.createObjectURL(file);
  name = `fw-video-${data.study}-${file.name}-${file.size}`;
  const kept = JSON.parse(localStorage.getItem(name) ?? "null");
  marks = kept?.marks ?? [];
  if (kept?.fps) by("fps").value = kept.fps;
  by("recorded").value = kept?.recorded || localIso(file.lastModified).slice(0, 16);
  by("sent").textContent = "";
  by("frame").hidden = false;
  draw();
}

/** Frames a second, measured while it plays: the middle of the steps between the frames that are shown. */
function measure(_, { mediaTime }) {
  frames.push(mediaTime);
  if (frames.length > 40) {
    const steps = frames.slice(1).map((at, i) => at - frames[i]);
    steps.sort((a, b) => a - b);
    const found = Math.round(1 / steps[Math.floor(steps.length / 2)]);
    if (video.playbackRate === 1 && found > 0 && found <= 240 && String(found) !== by("fps").value) {
      by("fps").value = String(found);
      by("fps-said").textContent = t("measured_fps", { fps: found });
    }
    frames = [];
  }
  video.requestVideoFrameCallback(measure);
}

const play = () => (video.paused ? video.play() : video.pause());
const frame = (by_frames) => {
  video.pause();
  video.currentTime = Math.max(0, (frameNow() + by_frames + 0.5) / fps()); // the middle: never the next frame
};

const ACTS = {
  mark: () => mark("lap"),
  foreign: () => mark("foreign"),
  "next-cycle": () => mark("cycle"),
  "frame-back": () => frame(-1),
  "frame-on": () => frame(1),
  undo,
  send,
  play,
};
for (const [id, act] of Object.entries(ACTS)) by(id).addEventListener("click", act);
by("file").addEventListener("change", choose);
by("speed").addEventListener("change", () => (video.playbackRate = Number(by("speed").value)));
for (const event of ["play", "pause", "seeked", "timeupdate", "loadeddata"]) video.addEventListener(event, draw);
video.addEventListener("error", () => warn(t("cannot_play")));
if ("requestVideoFrameCallback" in video) video.requestVideoFrameCallback(measure);

const KEYS = {
  " ": "play",
  m: "mark",
  n: "next-cycle",
  f: "foreign",
  z: "undo",
  ArrowLeft: "frame-back",
  ArrowRight: "frame-on",
};
addEventListener("keydown", (event) => {
  if (!by("use-keys").checked || event.ctrlKey || event.metaKey || event.altKey) return;
  if (event.target.closest?.("input, textarea, select, button, a, summary") && event.target !== by("use-keys")) return;
  const id = KEYS[event.key] ?? KEYS[event.key.toLowerCase()];
  if (!id || by(id).disabled) return;
  event.preventDefault();
  ACTS[id]();
});

askFirst(queue, draw);
draw();
document.body.dataset.ready = "yes";
