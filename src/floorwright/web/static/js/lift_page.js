/** A lift: distances and weight as they are measured, the lifting index while they are typed. */

import { askFirst, wereAsked } from "./ask_first.js";
import { flash } from "./flash.js";
import { liftingIndex } from "./lifting.js";
import { announcer, by, data, t } from "./page_data.js";
import { theQueue } from "./queue.js";
import { keeper, Rounds } from "./rounds.js";
import { forgetForm, keepForms } from "./store.js";
import { parseQuantity, plainNumber, toShown, unitOf } from "./units.js";

const system = data.settings.units;
const form = by("lift");

const queue = await theQueue();
const rounds = await Rounds.open(`lift ${data.study}`, queue, null);
const say = announcer(by("told"));

const warn = (text) => {
  by("warning").hidden = !text;
  by("warning").textContent = text;
};
const keep = keeper({ confirm: () => (flash(), draw()), refuse: (key) => warn(key ? t(key) : "") });

const DIMENSIONS = { load: "mass", frequency: "plain", asymmetry: "plain", destination_asymmetry: "plain" };
const ENDS = ["horizontal", "vertical", "asymmetry"];

/** What was typed in one box, in SI (degrees for the twist); undefined where it is empty, null where unreadable. */
function typed(name) {
  const box = form.elements[name];
  const text = box.value.trim();
  const value = text ? parseQuantity(text, DIMENSIONS[name] ?? "length", system) : undefined;
  const wrong = value === null;
  box.setAttribute("aria-invalid", wrong);
  const said = by(`wrong-${name}`);
  said.hidden = !wrong;
  said.textContent = wrong ? t("unreadable", { value: text, example: box.placeholder }) : "";
  return value;
}

/** The lift as the equation takes it; null while something is missing. */
function lift() {
  const placed = form.elements.placed.checked;
  const names = ["load", ...ENDS, "frequency", ...(placed ? ENDS.map((each) => `destination_${each}`) : ["travel"])];
  const found = Object.fromEntries(names.map((name) => [name, typed(name)]));
  if (Object.values(found).some((value) => value === undefined || value === null) || !(found.load > 0)) return null;
  const hands = (prefix) => ({
    horizontal_m: found[`${prefix}horizontal`],
    vertical_m: found[`${prefix}vertical`],
    asymmetry_deg: found[`${prefix}asymmetry`],
  });
  return {
    load_kg: found.load,
    origin: hands(""),
    destination: placed ? hands("destination_") : undefined,
    travel_m: found.travel,
    frequency: found.frequency,
    duration: form.elements.duration.value,
    coupling: form.elements.coupling.value,
    form: data.form,
  };
}

function draw() {
  for (const part of form.querySelectorAll("[data-placed]")) part.hidden = !form.elements.placed.checked;
  by("travel-field").hidden = form.elements.placed.checked;
  const given = lift();
  const found = given && liftingIndex(given);
  by("keep").disabled = !found || found.LI === null || !wereAsked();
  by("undo").disabled = !rounds.mayReopen;
  by("lifts").textContent = rounds.done.length ? t("lifts", { n: rounds.done.length }) : "";
  const result = by("result");
  if (!found) {
    result.dataset.level = "";
    by("index").textContent = "";
    by("limit").textContent = t("incomplete");
    by("reading").textContent = by("worst").textContent = "";
    return;
  }
  const level = levelOf(found.LI);
  result.dataset.level = level;
  by("index").textContent = found.LI === null ? "" : found.LI.toFixed(2);
  const limit = `${plainNumber(toShown(found.RWL_kg, "mass", system))} ${unitOf("mass", system)}`;
  by("limit").textContent = found.LI === null ? "" : t("limit", { limit });
  by("reading").textContent = t(level);
  by("worst").textContent = found.worst ? t(`worst_${found.worst}`) : "";
}

function levelOf(index) {
  if (index === null) return "outside";
  return index <= 1 ? "fine" : index <= 3 ? "raised" : "high";
}

/** The names under which an imported lift has its dimensions, so that both can be read alike. */
function detailOf(given) {
  const rad = (degrees) => (degrees * Math.PI) / 180;
  const { origin, destination } = given;
  const ends = destination
    ? {
        destination_horizontal_m: destination.horizontal_m,
        destination_vertical_m: destination.vertical_m,
        destination_asymmetry: rad(destination.asymmetry_deg),
      }
    : { travel_m: given.travel_m };
  return {
    load_kg: given.load_kg,
    horizontal_m: origin.horizontal_m,
    vertical_m: origin.vertical_m,
    asymmetry: rad(origin.asymmetry_deg),
    ...ends,
    frequency: given.frequency,
    duration: given.duration,
    coupling: given.coupling,
    form: given.form,
  };
}

async function keepLift(event) {
  event.preventDefault();
  const given = lift();
  const found = given && liftingIndex(given);
  if (!found) return warn(t("incomplete"));
  if (found.LI === null) return warn(t("no_index"));
  const reading = ({ place, key, stamp: { detail, ...stamp } }) => {
    const cycle = data.first_cycle + place;
    const row = { key: key(), cycle, value: found.LI, ...stamp, detail: { ...detail, ...detailOf(given) } };
    return { bodies: [{ study: data.study, rows: [row] }], summary: found.LI };
  };
  by("keep").disabled = true; // a second tap while it is being kept would keep the lift twice
  if ((await keep(() => rounds.close(reading))) === undefined) return draw();
  forgetForm(form);
  say(t("kept_lift", { index: found.LI.toFixed(2) }), true);
}

async function undo() {
  const back = await keep(() => rounds.undo(() => null)); // a lift has no taps of its own
  if (back === "sent") warn(t("sent_already"));
}

form.addEventListener("input", draw);
form.addEventListener("change", draw);
form.addEventListener("submit", keepLift);
by("undo").addEventListener("click", undo);
askFirst(queue, draw);
keepForms();
draw();
document.body.dataset.ready = "yes";
