"""The time study as a state machine: examples of each key, and laws over thousands of random runs."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

Run = Callable[..., Any]

SETUP = """
const elements = [{ name: "fetch clamps" }, { name: "clamp up" }, { name: "tack" }];
const setup = { device: "d1", session: "s1", elements, timing: "snapback" };
const play = (state, ...events) => events.reduce((s, e) => (e.k === "undo" ? m.undo(s) : m.step(s, e)), state);
const at = (k, t, more = {}) => ({ k, t, at: `2026-11-25T10:00:${String(t / 1000).padStart(6, "0")}`, ...more });
const short = (state) => m.rows(state).map((r) => [r.cycle, r.element, r.value, r.foreign ?? false]);
"""


def test_laps_go_through_the_elements_and_on_to_the_next_cycle(run: Run) -> None:
    rows = run(
        "watch.js",
        SETUP
        + """return m.rows(play(m.begin(setup), at("start", 0), at("lap", 12_345), at("lap", 20_000),
          at("lap", 41_000), at("lap", 50_000)));""",
    )
    assert [(r["cycle"], r["element"], r["value"]) for r in rows] == [
        (1, "fetch clamps", 12.345),
        (1, "clamp up", 7.655),
        (1, "tack", 21.0),
        (2, "fetch clamps", 9.0),
    ]
    assert rows[0]["key"] == "d1-s1-2"
    assert rows[0]["taken_at"] == "2026-11-25T10:00:12.345"
    assert rows[0]["detail"] == {"session": "d1-s1"}
    assert len({r["key"] for r in rows}) == 4


def test_a_watch_that_runs_on_notes_what_it_showed(run: Run) -> None:
    rows = run(
        "watch.js",
        SETUP
        + """return m.rows(play(m.begin({ ...setup, timing: "continuous", operator: "W3" }), at("start", 1000),
          at("lap", 13_100), at("lap", 20_000)));""",
    )
    assert [r["detail"]["watch_s"] for r in rows] == [12.1, 19.0]
    assert [r["value"] for r in rows] == [12.1, 6.9]
    assert {r["operator"] for r in rows} == {"W3"}


def test_a_foreign_stretch_is_kept_apart_and_its_element_goes_on(run: Run) -> None:
    found = run(
        "watch.js",
        SETUP
        + """return short(play(m.begin(setup), at("start", 0), at("foreign", 5000),
          at("back", 12_000, { note: "forklift in the way" }), at("lap", 20_000)));""",
    )
    assert found == [[1, "fetch clamps", 7.0, True], [1, "fetch clamps", 13.0, False]]


def test_paused_time_does_not_count_and_its_reason_is_kept(run: Run) -> None:
    found = run(
        "watch.js",
        SETUP
        + """const s = play(m.begin(setup), at("start", 0), at("pause", 5000, { reason: "break" }),
          at("resume", 605_000), at("lap", 610_000)); return [m.rows(s), m.totals(s, 610_000)];""",
    )
    rows, totals = found
    assert rows[0]["value"] == 10.0
    assert rows[0]["detail"]["paused_s"] == 600.0
    assert rows[0]["detail"]["paused_for"] == ["break"]
    assert totals == {"elapsed": 610_000, "laps": 10_000, "foreign": 0, "paused": 600_000, "doubtful": 0, "open": 0}


def test_an_element_that_did_not_occur_is_skipped_and_its_time_goes_to_the_next(run: Run) -> None:
    found = run(
        "watch.js",
        SETUP
        + """return short(play(m.begin(setup), at("start", 0), at("lap", 4000), at("skip", 4500),
          at("lap", 9000)));""",
    )
    assert found == [[1, "fetch clamps", 4.0, False], [1, "tack", 5.0, False]]


def test_next_cycle_ends_the_element_and_a_second_tap_does_nothing(run: Run) -> None:
    found = run(
        "watch.js",
        SETUP
        + """const s = play(m.begin(setup), at("start", 0), at("lap", 4000), at("cycle", 6000));
        return [short(s), m.step(s, at("cycle", 6500)) === s, m.current(s.now).name, s.now.cycle];""",
    )
    assert found == [[[1, "fetch clamps", 4.0, False], [1, "clamp up", 2.0, False]], True, "fetch clamps", 2]


def test_without_elements_a_lap_is_a_whole_cycle(run: Run) -> None:
    found = run(
        "watch.js",
        SETUP
        + """return short(play(m.begin({ ...setup, elements: [], firstCycle: 8 }), at("start", 0), at("lap", 4000),
          at("cycle", 9000)));""",
    )
    assert found == [[8, "", 4.0, False], [9, "", 5.0, False]]


def test_set_up_comes_once_and_rare_elements_when_picked(run: Run) -> None:
    found = run(
        "watch.js",
        SETUP
        + """const more = [{ name: "set the stop", work: "setup" }, { name: "saw", frequency: 2 },
            { name: "change blade", frequency: 0.05 }];
        const s = play(m.begin({ ...setup, elements: more }), at("start", 0), at("lap", 1000), at("lap", 3000),
          at("pick", 3500, { step: 0 }), at("lap", 9000), at("lap", 11_000), at("lap", 13_000));
        return [short(s), m.rows(s).map((r) => r.work)];""",
    )
    assert found[0] == [
        [1, "set the stop", 1.0, False],
        [1, "saw", 2.0, False],
        [1, "change blade", 6.0, False],
        [1, "saw", 2.0, False],
        [2, "saw", 2.0, False],
    ]
    assert found[1] == ["setup", "run", "run", "run", "run"]


def test_undo_gives_the_time_back_to_the_element_and_never_uses_a_key_twice(run: Run) -> None:
    found = run(
        "watch.js",
        SETUP
        + """const a = play(m.begin(setup), at("start", 0), at("lap", 4000), at("lap", 6000));
        const b = play(a, { k: "undo" }, at("lap", 9000));
        const back = play(a, { k: "undo" });
        return [short(b), m.rows(a)[1].key, m.rows(b)[1].key, m.running(back, 7000).element_ms];""",
    )
    assert found[0] == [[1, "fetch clamps", 4.0, False], [1, "clamp up", 5.0, False]]
    assert found[1] != found[2]
    assert found[3] == 3000


def test_rating_note_and_photo_go_to_the_lap_that_is_meant(run: Run) -> None:
    rows = run(
        "watch.js",
        SETUP
        + """return m.rows(play(m.begin(setup), at("start", 0), at("lap", 4000), at("lap", 6000), at("lap", 9000),
          { k: "rate", value: 0.9 }, { k: "note", text: "clamp slipped", of: 2 }, { k: "photo", photo: "k-1" },
          at("lap", 12_000), { k: "rate", value: 1.1, whole: true }));""",
    )
    assert [r.get("rating") for r in rows] == [None, None, 0.9, 1.1]
    assert [r.get("note") for r in rows] == ["clamp slipped", None, None, None]
    assert rows[2]["detail"]["photo"] == "k-1"


def test_a_whole_cycle_is_rated_at_once(run: Run) -> None:
    rows = run(
        "watch.js",
        SETUP
        + """return m.rows(play(m.begin(setup), at("start", 0), at("lap", 4000), at("lap", 6000), at("lap", 9000),
          { k: "rate", value: 1.1, whole: true }));""",
    )
    assert [r["rating"] for r in rows] == [1.1, 1.1, 1.1]


@pytest.mark.parametrize(("pick", "value"), [("this", 10.0), ("other", 70.0), ("out", None), (None, None)])
def test_a_lap_with_two_times_counts_when_a_person_has_chosen(
    run: Run, pick: str | None, value: float | None
) -> None:
    rows, waiting, totals = run(
        "watch.js",
        SETUP
        + """let s = play(m.begin(setup), at("start", 0), { k: "gap", t: 3000, kind: "slept", extra_ms: 60_000 },
          at("lap", 10_000));
        if (given !== null) s = m.step(s, { k: "choose", of: s.now.laps[0].n, pick: given });
        return [m.rows(s), m.doubtful(s).length, m.totals(s, 10_000)];""",
        pick,
    )
    assert [r["value"] for r in rows] == ([] if value is None else [value])
    assert waiting == (1 if pick is None else 0)
    assert totals["doubtful"] == 10_000
    if rows:
        doubt = rows[0]["detail"]["doubt"]
        assert doubt == {"kinds": ["slept"], "this_s": 10.0, "other_s": 70.0, "pick": pick}


def test_a_jump_of_the_clock_in_a_pause_is_no_doubt_until_the_pause_is_undone(run: Run) -> None:
    found = run(
        "watch.js",
        SETUP
        + """const s = play(m.begin(setup), at("start", 0), at("pause", 1000),
          { k: "gap", t: 2000, kind: "clock", extra_ms: -3_600_000 });
        const a = play(s, at("resume", 3000), at("lap", 9000));
        const b = play(s, { k: "undo" }, at("lap", 9000));
        return [m.doubtful(a).length, m.doubtful(b).length, b.now.laps[0].doubt.other_ms];""",
    )
    assert found == [0, 1, 0]


def test_a_watch_left_running_over_night_is_in_doubt(run: Run) -> None:
    found = run(
        "watch.js",
        SETUP
        + """const s = play(m.begin(setup), at("start", 0), at("lap", 46_800_000));
        const pick = (p) => m.step(s, { k: "choose", of: 2, pick: p }) === s;
        return [m.doubtful(s)[0].doubt.kinds, pick("this"), pick("out"), m.rows(s).length];""",
    )
    assert found == [["long"], True, False, 0]


RANDOM = """
// mulberry32: the same run for the same seed on every machine
const random = (seed) => () => {
  seed = (seed + 0x6d2b79f5) | 0;
  let z = Math.imul(seed ^ (seed >>> 15), 1 | seed);
  z = (z + Math.imul(z ^ (z >>> 7), 61 | z)) ^ z;
  return ((z ^ (z >>> 14)) >>> 0) / 4294967296;
};
const KINDS = ["lap", "lap", "lap", "lap", "cycle", "skip", "pick", "foreign", "back", "back", "pause", "resume",
  "resume", "rate", "note", "photo", "choose", "gap", "undo", "undo", "end", "start"];
const SHAPES = [[], [{ name: "a" }], [{ name: "a" }, { name: "b" }, { name: "c" }],
  [{ name: "s", work: "setup" }, { name: "a", frequency: 2 }, { name: "r", frequency: 0.1 }]];
function drive(seed, look, timing = "snapback") {
  const r = random(seed), whole = (n) => Math.floor(r() * n);
  let s = m.begin({ device: "d", session: "s", elements: SHAPES[seed % 4], timing });
  let t = 0;
  for (let i = 0; i < 60; i += 1) {
    t += whole(4) === 0 ? whole(3) : whole(90_000);
    let k = i === 0 ? "start" : KINDS[whole(KINDS.length)];
    if (k === "end" && i < 50) k = "lap";
    const e = { k, t, at: String(t) };
    if (k === "rate") { e.value = 0.8 + r() * 0.4; e.whole = r() < 0.3; delete e.t; }
    if (k === "gap") { e.kind = ["slept", "clock", "closed"][whole(3)]; e.extra_ms = whole(120_000) - 60_000; }
    if (k === "pick") e.step = whole(2);
    if (k === "note") { e.text = `n${i}`; delete e.t; }
    if (k === "photo") { e.photo = `p${i}`; delete e.t; }
    if (k === "choose") {
      const lap = s.now.laps[whole(s.now.laps.length || 1)];
      Object.assign(e, { of: lap?.n, pick: ["this", "other", "out"][whole(3)] });
      delete e.t;
    }
    const before = s;
    s = k === "undo" ? m.undo(s) : m.step(s, e);
    look(s, t, before, e);
  }
  return s;
}
const wrong = [];
const check = (ok, what) => { if (!ok && wrong.length < 5) wrong.push(what); };
"""


def test_every_millisecond_belongs_to_one_thing(run: Run) -> None:
    """Laps, foreign, paused, doubtful and open time add up to what the watch ran, and nothing is negative."""
    wrong = run(
        "watch.js",
        RANDOM
        + """for (let seed = 1; seed <= 600; seed += 1) drive(seed, (s, t) => {
          const x = m.totals(s, t);
          const sum = x.laps + x.foreign + x.paused + x.doubtful + x.open;
          check(sum === x.elapsed, `seed ${seed} at ${t}: ${JSON.stringify(x)}`);
          check(Object.values(x).every((v) => v >= 0), `negative, seed ${seed}: ${JSON.stringify(x)}`);
          check(m.rows(s).every((row) => row.value > 0), `a row of nothing, seed ${seed}`);
          check(new Set(m.rows(s).map((row) => row.key)).size === m.rows(s).length, `a key twice, seed ${seed}`);
        });
        return wrong;""",
    )
    assert wrong == []


def test_undo_is_the_exact_inverse_of_every_event(run: Run) -> None:
    wrong = run(
        "watch.js",
        RANDOM
        + """for (let seed = 1; seed <= 600; seed += 1) drive(seed, (s, t, before, e) => {
          if (["undo", "gap"].includes(e.k) || s === before) return;
          check(JSON.stringify(m.undo(s).now) === JSON.stringify(before.now), `seed ${seed}, ${e.k} at ${t}`);
          check(m.undo(s).seq > s.seq, `seed ${seed}: a number comes again`);
        });
        return wrong;""",
    )
    assert wrong == []


def test_undo_goes_all_the_way_back(run: Run) -> None:
    left = run(
        "watch.js",
        RANDOM
        + """const left = [];
        for (let seed = 1; seed <= 200; seed += 1) {
          let s = drive(seed, () => {});
          while (m.canUndo(s)) s = m.undo(s);
          left.push(s.now.phase + s.now.laps.length);
        }
        return [...new Set(left)];""",
    )
    assert left == ["ready0"]


def test_what_is_kept_gives_the_same_state_at_any_point(run: Run) -> None:
    wrong = run(
        "watch.js",
        RANDOM
        + """for (let seed = 1; seed <= 300; seed += 1) drive(seed, (s, t) => {
          check(JSON.stringify(m.parse(m.serialise(s))) === JSON.stringify(s), `seed ${seed} at ${t}`);
        });
        return wrong;""",
    )
    assert wrong == []


def test_a_watch_set_to_zero_and_one_that_runs_on_agree(run: Run) -> None:
    wrong = run(
        "watch.js",
        RANDOM
        + """for (let seed = 1; seed <= 300; seed += 1) {
          const back = m.rows(drive(seed, () => {})), on = m.rows(drive(seed, () => {}, "continuous"));
          const said = (rows) => JSON.stringify(rows.map((r) => [r.key, r.value]));
          check(said(back) === said(on), `seed ${seed}`);
          const shown = on.map((r) => r.detail.watch_s);
          check(shown.every((x, i) => i === 0 || x >= shown[i - 1]), `runs back, seed ${seed}`);
        }
        return wrong;""",
    )
    assert wrong == []


def test_running_readings_add_up_exactly(run: Run) -> None:
    """Without foreign stretches, pauses and doubt each reading is the difference of two running readings."""
    wrong = run(
        "watch.js",
        RANDOM
        + """for (let seed = 1; seed <= 300; seed += 1) {
          const r = random(seed); let t = 0;
          let s = m.step(m.begin({ device: "d", session: "s", elements: SHAPES[seed % 4], timing: "continuous" }),
            { k: "start", t: 0, at: "" });
          for (let i = 0; i < 40; i += 1) {
            t += 1 + Math.floor(r() * 99_999);
            s = m.step(s, { k: "lap", t, at: "" });
          }
          const rows = m.rows(s);
          const sum = rows.reduce((all, row) => all + Math.round(row.value * 1000), 0);
          check(sum === t && Math.round(rows.at(-1).detail.watch_s * 1000) === t, `seed ${seed}: ${sum} of ${t}`);
        }
        return wrong;""",
    )
    assert wrong == []


def test_whole_cycles_as_the_comparison_takes_them(run: Run) -> None:
    found = run(
        "watch.js",
        """const row = (cycle, element, value, more = {}) => ({ cycle, element, value, work: "run", ...more });
        const elements = [{ name: "set", work: "setup" }, { name: "a" }, { name: "b" },
          { name: "r", frequency: 0.1 }];
        const rows = [row(1, "set", 60, { work: "setup" }), row(1, "a", 2), row(1, "b", 3), row(2, "a", 4),
          row(2, "a", 9, { foreign: true }), row(3, "a", 1), row(3, "b", 1), row(3, "r", 5)];
        return [m.cycleValues(rows, elements, {}), m.cycleValues(rows, elements, { include_setup: true }),
          m.cycleValues(rows, elements, { element: "a" }),
          m.cycleValues([row(1, "", 7)], [], { element: "a" })];""",
    )
    # cycle 2 lacks b; with set-up in it only cycle 1 is whole
    assert found == [[5, 7], [65], [2, 4, 1], [7]]
