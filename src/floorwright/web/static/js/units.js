/**
 * Numbers as people read and type them: as in basis.quantity. Lengths and weights are typed in either system; a bare
 * number is in the unit that stands beside the box.
 */

const INCH = 0.0254;
const POUND = 0.45359237;
const FACTORS = {
  length: {
    m: 1, mm: 0.001, cm: 0.01, in: INCH, inch: INCH, inches: INCH, '"': INCH, ft: 12 * INCH, feet: 12 * INCH,
    foot: 12 * INCH, "'": 12 * INCH, yd: 36 * INCH,
  },
  mass: { kg: 1, g: 0.001, lb: POUND, lbs: POUND, pounds: POUND, oz: POUND / 16 },
  plain: {},
};
const SHOWN = { length: { us: "in", si: "cm" }, distance: { us: "ft", si: "m" }, mass: { us: "lb", si: "kg" } };

/** A number with so many significant figures and no exponent; whole digits are never cut. */
export function plainNumber(value, digits = 3) {
  if (value === 0 || !Number.isFinite(value)) return value === 0 ? "0" : String(value);
  const decimals = Math.min(12, Math.max(0, digits - 1 - Math.floor(Math.log10(Math.abs(value)))));
  const [whole, part] = Math.abs(value).toFixed(decimals).split(".");
  const text = whole.replace(/\B(?=(\d{3})+$)/g, ",") + (part ? `.${part}` : "");
  if (!/[1-9]/.test(text)) return "0";
  return value < 0 ? `\u2212${text}` : text;
}

/** A number as it was counted or typed: up to six figures, no zeros after them. */
export function exactNumber(value) {
  const text = plainNumber(value, 6);
  return text.includes(".") ? text.replace(/0+$/, "").replace(/\.$/, "") : text;
}

/** The unit in which a length, distance or mass is shown. */
export const unitOf = (dimension, system) => SHOWN[dimension][system];

/** A value in SI in the unit that is shown. */
export const toShown = (value, dimension, system) =>
  value / (FACTORS[dimension] ?? FACTORS.length)[unitOf(dimension, system)];

const ODD = {
  "½": " 1/2", "¼": " 1/4", "¾": " 3/4",
  "⅛": " 1/8", "⅜": " 3/8", "⅝": " 5/8", "⅞": " 7/8",
  "″": '"', "′": "'",
};
const PART = /^(\d+(?:\.\d+)?|\.\d+)(?:[ -]+(\d+)\/(\d+))?|^(\d+)\/(\d+)/;

/**
 * What was typed, in SI; null where it cannot be read. "23", "58 cm", "1-1/2 in", "2' 3\"".
 * @param {string} text @param {"length"|"mass"|"plain"} dimension @param {"us"|"si"} system
 */
export function parseQuantity(text, dimension, system) {
  let rest = text.toLowerCase().replace(/[½¼¾⅛⅜⅝⅞″′]/g, (c) => ODD[c]).trim();
  rest = rest.replace(/^(\d+),(\d+)(?=\D|$)/, (_, a, b) => (b.length === 3 ? `${a}${b}` : `${a}.${b}`)).trim();
  const units = FACTORS[dimension];
  let total = null;
  while (rest) {
    const fraction = /^(\d+)\/(\d+)/.exec(rest);
    const found = fraction ?? PART.exec(rest);
    if (!found) return null;
    const number = fraction
      ? Number(found[1]) / Number(found[2])
      : Number(found[1]) + (found[2] ? Number(found[2]) / Number(found[3]) : 0);
    rest = rest.slice(found[0].length).trim();
    const unit = /^(?:[a-z]+|["'])/.exec(rest)?.[0] ?? "";
    const bare = dimension === "plain" ? 1 : total === null ? units[SHOWN[dimension][system]] : undefined;
    const factor = unit ? units[unit] : bare;
    if (factor === undefined || !Number.isFinite(number)) return null;
    rest = rest.slice(unit.length).replace(/^[\s,.-]+/, "");
    total = (total ?? 0) + number * factor;
    if (!unit && rest) return null;
  }
  return total;
}
