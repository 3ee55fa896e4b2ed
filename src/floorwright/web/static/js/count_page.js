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
const rounds = await Rounds.open(`fw-count-${data.study}`, queue, NOTHING);
const say = announcer(by("told"));

const warn = (key) => {
  by("warning").hidden = !key;
  by("warning").textContent = key ? t(key) : "";
};
const keep = keeper({ confirm: () => (flash(), draw()), refuse: warn });

const countOf = (place) => rounds.current.taps.filter((tap) => tap === place).length;

function tap(place) {
  return keep(() => rounds.set({ ...rounds.current, taps: [...rounds.current.taps, place] })).then(() =>
    say(t("one_more", { name: data.keys[place].name, n: countOf(place) })),
  );
}

async function undo() {
  const { taps } = rounds.current;
  if (taps.length) return keep(() => rounds.set({ ...rounds.current, taps: taps.slice(0, -1) }));
  if (!rounds.mayReopen) return warn("nothing_open");
  const back = await keep(() => rounds.reopen());
  if (!back) warn("sent_already");
  draw();
}

/** How many looks or pieces the round was counted over. */
function exposure() {
  if (isShares) return rounds.current.taps.length;
  return Number(by("exposure").value.replace(",", "."));
}

function close() {
  const over = exposure();
  if (!(over > 0)) return warn(isShares ? "no_looks" : "no_exposure");
  const cycle = data.first_cycle + rounds.done.length;
  const common = { cycle, exposure: over, ...rounds.stamp() };
  const counts = data.keys.map((_, place) => countOf(place));
  const bodies = isShares
    ? [{ study: data.study, rows: [{ ...common, key: rounds.rowKey(), value: counts[0] }] }]
    : data.keys.map(({ study }, place) => ({
        study,
        rows: [{ ...common, key: rounds.rowKey(place), value: counts[place] }],
      }));
  const n = isShares ? counts[0] : counts.reduce((a, b) => a + b, 0);
  return keep(() => rounds.close(bodies, { counts, over }, NOTHING)).then(() => {
    by("exposure").value = "1";
    say(t("closed", { per, n }), true);
    draw();
  });
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
