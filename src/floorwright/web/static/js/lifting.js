/**
 * The revised NIOSH lifting equation, as in basis.people.lifting (NIOSH 94-110, revised 2021), held to it by a parity
 * test. Lengths in metres, load in kg, twist in degrees.
 */

const FORMS = {
  metric: {
    length: 0.01, mass: 1, LC: 23, reach: 25, reachMost: 63, knuckle: 75, heightFactor: 0.003, heightMost: 175,
    travelLeast: 25, travelMost: 175, travelFactor: 4.5,
  },
  us: {
    length: 0.0254, mass: 0.45359237, LC: 51, reach: 10, reachMost: 25, knuckle: 30, heightFactor: 0.0075,
    heightMost: 70, travelLeast: 10, travelMost: 70, travelFactor: 1.8,
  },
};

// Table 5: lifts a minute, and the multiplier with the hands below knuckle height, then at or above it.
const LIFTS = [0.2, 0.5, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15];
const FREQUENCY = {
  short: [
    [1, 0.97, 0.94, 0.91, 0.88, 0.84, 0.8, 0.75, 0.7, 0.6, 0.52, 0.45, 0.41, 0.37, 0, 0, 0],
    [1, 0.97, 0.94, 0.91, 0.88, 0.84, 0.8, 0.75, 0.7, 0.6, 0.52, 0.45, 0.41, 0.37, 0.34, 0.31, 0.28],
  ],
  moderate: [
    [0.95, 0.92, 0.88, 0.84, 0.79, 0.72, 0.6, 0.5, 0.42, 0.35, 0.3, 0.26, 0, 0, 0, 0, 0],
    [0.95, 0.92, 0.88, 0.84, 0.79, 0.72, 0.6, 0.5, 0.42, 0.35, 0.3, 0.26, 0.23, 0.21, 0, 0, 0],
  ],
  long: [
    [0.85, 0.81, 0.75, 0.65, 0.55, 0.45, 0.35, 0.27, 0.22, 0.18, 0, 0, 0, 0, 0, 0, 0],
    [0.85, 0.81, 0.75, 0.65, 0.55, 0.45, 0.35, 0.27, 0.22, 0.18, 0.15, 0.13, 0, 0, 0, 0, 0],
  ],
};
const COUPLING = { good: [1, 1], fair: [0.95, 1], poor: [0.9, 0.9] };

const rounded = (x) => Number(x.toFixed(9)); // 30 in typed as 0.762 m stays 30 in

/** FM of table 5: linear between rows, 0 above 15 lifts a minute. */
export function frequencyMultiplier(frequency, duration, low) {
  if (frequency > LIFTS.at(-1)) return 0;
  const column = FREQUENCY[duration][low ? 0 : 1];
  const place = Math.max(frequency, LIFTS[0]);
  const row = LIFTS.findIndex((lifts) => lifts >= place);
  if (LIFTS[row] === place) return column[row];
  const [f1, fm1, f2, fm2] = [LIFTS[row - 1], column[row - 1], LIFTS[row], column[row]];
  return fm1 + ((fm2 - fm1) * (frequency - f1)) / (f2 - f1);
}

/** @typedef {{horizontal_m: number, vertical_m: number, asymmetry_deg: number}} Hands */

/**
 * The multipliers and the recommended weight limit at one end of a lift; 0 where no weight counts as safe.
 * @param {Hands} hands
 */
export function rateEnd(hands, { travel_m, frequency, duration, coupling, form }) {
  const f = FORMS[form];
  const H = rounded(hands.horizontal_m / f.length);
  const V = rounded(hands.vertical_m / f.length);
  const D = rounded(travel_m / f.length);
  const A = rounded(hands.asymmetry_deg);
  const low = V < f.knuckle;
  const found = {
    HM: H > f.reachMost ? 0 : f.reach / Math.max(f.reach, H),
    VM: V > f.heightMost ? 0 : 1 - f.heightFactor * Math.abs(V - f.knuckle),
    DM: D > f.travelMost ? 0 : 0.82 + f.travelFactor / Math.max(f.travelLeast, D),
    AM: A > 135 ? 0 : 1 - 0.0032 * A,
    FM: frequencyMultiplier(frequency, duration, low),
    CM: COUPLING[coupling][low ? 0 : 1],
  };
  const { HM, VM, DM, AM, FM, CM } = found;
  return { ...found, RWL_kg: f.LC * HM * VM * DM * AM * FM * CM * f.mass };
}

/**
 * The lifting index of a lift: the larger of its ends; null where an end lies outside the equation.
 * @param {{load_kg: number, origin: Hands, destination?: Hands, travel_m?: number, frequency: number,
 *   duration: string, coupling: string, form: "metric"|"us"}} lift
 */
export function liftingIndex(lift) {
  const { load_kg, origin, destination } = lift;
  const travel_m = destination ? Math.abs(destination.vertical_m - origin.vertical_m) : (lift.travel_m ?? 0);
  const ends = { origin: rateEnd(origin, { ...lift, travel_m }) };
  if (destination) ends.destination = rateEnd(destination, { ...lift, travel_m });
  const indices = Object.values(ends).map((end) => (end.RWL_kg > 0 ? load_kg / end.RWL_kg : null));
  const LI = indices.includes(null) ? null : Math.max(...indices);
  const worst = Object.values(ends).reduce((a, b) => (b.RWL_kg < a.RWL_kg ? b : a));
  return { ends, LI, RWL_kg: worst.RWL_kg, worst: worstMultiplier(worst) };
}

/** The multiplier that takes most off the limit; null where none takes anything. */
function worstMultiplier(end) {
  const names = ["HM", "VM", "DM", "AM", "FM", "CM"];
  const least = names.reduce((a, b) => (end[b] < end[a] ? b : a));
  return end[least] < 1 ? least : null;
}
