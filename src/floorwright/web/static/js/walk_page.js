/** A walk: the stations are tapped as one person goes, and the distance table says how far that was. */

import { askFirst, wereAsked } from "./ask_first.js";
import { distanceTable } from "./distances.js";
import { flash } from "./flash.js";
import { announcer, by, data, make, t } from "./page_data.js";
import { theQueue } from "./queue.js";
import { keeper, Rounds } from "./rounds.js";
import { meanInterval, moments } from "./stat.js";
import { plainNumber, toShown, unitOf } from "./units.js";

const NOTHING = { route: [] };
const table = distanceTable(data.distances);

const queue = await theQueue();
const rounds = await Rounds.open(`walk ${data.study}`, queue, NOTHING);
const say = announcer(by("told"));

const warn = (text) => {
  by("warning").hidden = !text;
  by("warning").textContent = text;
};
const keep = keeper({ confirm: () => (flash(), draw()), refuse: (key) => warn(key ? t(key) : "") });

const shown = (metres) =>
  `${plainNumber(toShown(metres, "distance", data.settings.units))} ${unitOf("distance", data.settings.units)}`;

const legFrom = (from, station) => (from === undefined ? 0 : table.leg(from, station));

function tap(station) {
  const from = rounds.current.route.at(-1);
  const leg = legFrom(from, station);
  if (from === station) return undefined;
  if (leg === null) return warn(t("no_distance", { from, to: station }));
  const onward = ({ route }) => {
    const last = route.at(-1); // a tap just before this one may not have been drawn yet
    return { route: last === station || legFrom(last, station) === null ? route : [...route, station] };
  };
  return keep(() => rounds.change(onward)).then(() =>
    say(from === undefined ? station : t("leg", { from, to: station, metres: shown(leg) })),
  );
}

async function undo() {
  const back = await keep(() => rounds.undo(({ route }) => (route.length ? { route: route.slice(0, -1) } : null)));
  if (back === "sent") warn(t("sent_already"));
}

async function end() {
  if (rounds.current.route.length < 2) return warn(t("unfinished"));
  const metres = await keep(() => rounds.close(reading));
  if (typeof metres === "number") say(t("round", { metres: shown(metres) }), true);
}

/** A closed round as a reading; null where one tap too many asked for it. */
function reading({ open: { route }, place, key, stamp: { detail, ...stamp } }) {
  if (route.length < 2) return null;
  const metres = table.walked(route);
  const cycle = data.first_cycle + place;
  const row = { key: key(), cycle, value: metres, ...stamp, detail: { ...detail, route } };
  return { bodies: [{ study: data.study, rows: [row] }], summary: metres };
}

function draw() {
  const { route } = rounds.current;
  by("total").textContent = shown(table.walked(route) ?? 0);
  by("route").textContent = route.length ? route.join(" → ") : t("begin");
  for (const button of by("stations").children) {
    button.setAttribute("aria-pressed", button.textContent === route.at(-1));
    button.disabled = !wereAsked();
  }
  by("end").disabled = route.length < 2;
  by("undo").disabled = !route.length && !rounds.mayReopen;
  by("rounds").textContent = soFar();
}

function soFar() {
  const mine = rounds.session;
  const others = data.so_far.filter(([, session]) => session !== mine).map(([value]) => value);
  const all = others.concat(rounds.done);
  if (!all.length) return t("none_yet");
  if (all.length === 1) return t("rounds_few", { n: 1, mean: shown(all[0]) });
  const { low, high } = meanInterval(all, data.settings.confidence);
  const number = (metres) => plainNumber(toShown(Math.max(0, metres), "distance", data.settings.units));
  return t("rounds", { n: all.length, mean: shown(moments(all).mean), low: number(low), high: number(high) });
}

by("stations").replaceChildren(
  ...data.stations.map((name) => {
    const button = make("button", { type: "button", className: "big-key is-station", text: name });
    button.addEventListener("click", () => tap(name));
    return button;
  }),
);
if (!data.stations.length) warn(t("no_stations"));
by("undo").addEventListener("click", undo);
by("end").addEventListener("click", end);
askFirst(queue, draw);
draw();
document.body.dataset.ready = "yes";
