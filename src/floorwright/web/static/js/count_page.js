/** Counting with big keys: what happens is tapped, and a panel (a shift, a piece) is closed when it is through. */

import { askFirst, wereAsked } from "./ask_first.js";
import { flash } from "./flash.js";
import { announcer, by, data, make, t } from "./page_data.js";
import { theQueue } from "./queue.js";
import { keeper, Rounds } from "./rounds.js";
import { exactNumber, plainNumber } from "./units.js";

const NOTHING = { taps: [] };
const isShares = data.measure.kind === "shares";
const per = data.measure.per || t("unit");

const queue = await theQueue();
const rounds = await Rounds.open(`count ${data.study}`, queue, NOTHING);
const say = announcer(by("told"));

const warn = (key) => {
  by("warning").hidden = !key;
  by("warning").textContent = key ? t(key) : "";
};
const keep = keeper({ confirm: () => (flash(), draw()), refuse: warn });

const countOf = (place) => rounds.current.taps.filter((tap) => tap === place).length;

function tap(place) {
  return keep(() => rounds.change(({ taps }) => ({ taps: [...taps, place] }))).then(() =>
    say(t("one_more", { name: data.keys[place].name, n: countOf(place) })),
  );
}

async function undo() {
  const back = await keep(() => rounds.undo(({ taps }) => (taps.length ? { taps: taps.slice(0, -1) } : null)));
  if (back === "sent") warn("sent_already");
  if (back === "nothing") warn("nothing_open");
}

/** How many looks or pieces a round was counted over. */
const exposure = (taps) => (isShares ? taps.length : Number(by("exposure").value.replace(",", ".")));

async function close() {
  if (!(exposure(rounds.current.taps) > 0)) return warn(isShares ? "no_looks" : "no_exposure");
  const closed = await keep(() => rounds.close(readings));
  if (!closed) return;
  by("exposure").value = "1";
  const n = isShares ? closed.counts[0] : closed.counts.reduce((a, b) => a + b, 0);
  say(t("closed", { per, n }), true);
}

/** A closed round as readings, one for each thing that is counted; null where one tap too many asked for it. */
function readings({ open: { taps }, place, key, stamp }) {
  const over = exposure(taps);
  if (!(over > 0)) return null;
  const common = { cycle: data.first_cycle + place, exposure: over, ...stamp };
  const counts = data.keys.map((_, part) => taps.filter((tapped) => tapped === part).length);
  const row = (part) => ({ ...common, key: key(part), value: counts[part] });
  const bodies = isShares
    ? [{ study: data.study, rows: [row(0)] }]
    : data.keys.map(({ study }, part) => ({ study, rows: [row(part)] }));
  return { bodies, summary: { counts, over } };
}

function draw() {
  by("keys").childNodes.forEach((key, place) => {
    key.disabled = !wereAsked();
    key.querySelector(".key-count").textContent = countOf(place);
  });
  by("close").disabled = !wereAsked() || (isShares && !rounds.current.taps.length);
  by("undo").disabled = !rounds.current.taps.length && !rounds.mayReopen;
  by("total").textContent = total();
}

function total() {
  if (!rounds.done.length) return t("none_yet");
  const over = rounds.done.reduce((sum, each) => sum + each.over, 0);
  const sums = data.keys.map((_, place) => rounds.done.reduce((sum, each) => sum + each.counts[place], 0));
  if (isShares) return t("share", { rate: plainNumber((100 * sums[0]) / over), n: over });
  const rates = data.keys.map(({ name }, place) => {
    const rate = t("rate", { rate: plainNumber(sums[place] / over), per });
    return `${name}: ${t("counted", { total: sums[place], exposure: exactNumber(over), per })} (${rate})`;
  });
  return rates.join(" · ");
}

by("keys").replaceChildren(
  ...data.keys.map(({ name }, place) => {
    const count = make("span", { className: "key-count", text: "0" });
    const word = make("span", { className: "key-name", text: name });
    const key = make("button", { type: "button", className: "big-key" }, count, word);
    key.addEventListener("click", () => tap(place));
    return key;
  }),
);
by("keys").classList.toggle("is-few", data.keys.length < 3);
by("undo").addEventListener("click", undo);
by("close").addEventListener("click", close);
askFirst(queue, draw);
draw();
document.body.dataset.ready = "yes";
