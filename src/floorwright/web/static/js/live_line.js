/** What the readings so far say, in one or two short sentences. Pure: values in, text out. */

import { anytimeDifference, FIRST_LOOK, meanInterval, moments, readingsMore } from "./stat.js";
import { plainNumber } from "./units.js";

/**
 * @param {number[]} values seconds of whole cycles (or of the one element that is measured)
 * @param {{confidence: number, relative_error: number}} settings
 * @param {(key: string, values?: object) => string} t
 * @param {number|null} [planned] how many were fixed beforehand: then that counts, and not how many the mean needs
 */
export function soFar(values, settings, t, planned = null) {
  const n = values.length;
  if (n === 0) return t("none_yet");
  if (n === 1) return t("one_yet", { mean: plainNumber(values[0]) });
  const { mean } = moments(values);
  const { low, high } = meanInterval(values, settings.confidence);
  const said = t("so_far", { n, mean: plainNumber(mean), low: plainNumber(Math.max(0, low)), high: plainNumber(high) });
  if (planned) return `${said} · ${ofPlanned(n, planned, t)}`;
  const more = readingsMore(values, settings.relative_error, settings.confidence);
  if (more === null) return said;
  return `${said} · ${more > 0 ? t("more", { more }) : t("enough")}`;
}

const ofPlanned = (n, planned, t) => (n < planned ? t("planned", { n, planned }) : t("planned_done", { planned }));

/**
 * The difference to the study before, with the interval that stays valid however often one looks.
 * @param {number[]} before @param {number[]} after
 */
export function againstBefore(before, after, settings, t) {
  if (!before.length) return "";
  if (before.length < FIRST_LOOK) return t("before_short", { n: before.length, first: FIRST_LOOK });
  if (after.length < FIRST_LOOK) return t("compared_from", { first: FIRST_LOOK, more: FIRST_LOOK - after.length });
  const { difference, low, high } = anytimeDifference(before, after, settings.confidence);
  const less = difference < 0;
  const [from, to] = less ? [-high, -low] : [low, high];
  const values = { x: plainNumber(Math.abs(difference)), low: plainNumber(from), high: plainNumber(to) };
  const clear = low > 0 || high < 0;
  return t(`${less ? "less" : "more_than"}${clear ? "" : "_unclear"}`, values);
}
