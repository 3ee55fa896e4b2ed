"""Whatever bytes come, a file is read or refused with sentences; nothing else is ever raised."""

from __future__ import annotations

import io

import xlsxwriter
from hypothesis import example, given, settings
from hypothesis import strategies as st

from floorwright.basis.errors import InputError
from floorwright.exchange.plan import plan_import
from floorwright.exchange.table import read_table
from floorwright.shop.records import Element, MeasureKind, Observation, Settings, Study

SHOP = Settings(name="Shop", distances_m=(("rack", "saw", 4.0),))
GOOD = {
    "date": "2026-07-13",
    "taken at": "2026-07-13 07:15",
    "cycle": "1",
    "element": "fetch",
    "time (s)": "41.5",
    "start": "7:15:00",
    "stop": "7:16:10",
    "pause": "5",
    "operator": "W3",
    "rating": "95",
    "part": "P-7",
    "events": "3",
    "exposure": "40",
    "hits": "2",
    "looks": "5",
    "seen": "yes",
    "route": "rack > saw",
    "load (lb)": "44",
    "horizontal (in)": "15",
    "vertical (in)": "30",
    "travel (in)": "20",
    "asymmetry (deg)": "0",
    "frequency": "1",
    "duration": "short",
    "coupling": "fair",
    "area (ft2)": "40",
    "length (ft)": "5",
    "width (ft)": "4",
    "pieces": "12",
    "force (lbf)": "45",
    "weight (lb)": "44",
    "lot size": "10",
    "driver amount": "2.5",
    "foreign": "no",
    "note": "odd",
    "detail": "{}",
    "key": "k1",
    "replaces": "k0",
    "reason": "misread",
}
ODD = """|2026-07-14|07/11/2026|13.7.26|7:15|1:15:00|12,5|1,234|1.234,5|-3|0|1e400|nan|inf|1_000|abc|W4|Maria
saw > rack|{}|[1]|#DIV/0!|Total|no|٣|½|start|pause|999999999999999999999|0.5 min|5 lb|'=1|46216|1/0 in|"
2|41.6|42|9e15|x"""
CELLS = st.sampled_from(ODD.replace("\n", "|").split("|")) | st.text(max_size=6)
NAMES = list(GOOD)
LIFT = NAMES[NAMES.index("load (lb)") : NAMES.index("area (ft2)")]
NEEDED = {
    MeasureKind.TIMES: [["date", "time (s)"], ["date", "start", "stop"], ["date", "cycle", "element", "time (s)"]],
    MeasureKind.COUNTS: [["date", "events"], ["taken at", "events", "exposure"]],
    MeasureKind.SHARES: [["date", "hits", "looks"], ["taken at", "seen"]],
    MeasureKind.DISTANCE: [["date", "route"]],
    MeasureKind.LIFT: [["date", *LIFT]],
    MeasureKind.SPACE: [["date", "area (ft2)"], ["date", "length (ft)", "width (ft)"]],
    MeasureKind.DENSITY: [["date", "pieces", "area (ft2)"]],
    MeasureKind.FORCE: [["date", "force (lbf)"]],
    MeasureKind.WEIGHT: [["date", "weight (lb)"]],
}


@st.composite
def tables(draw):
    """A kind, and headings that mostly fit it over cells that mostly fit below them."""
    kind = draw(st.sampled_from(list(MeasureKind)))
    more = draw(st.lists(st.sampled_from(list(GOOD)), max_size=4, unique=True))
    headings = list(dict.fromkeys([*draw(st.sampled_from([*NEEDED[kind], []])), *more])) or ["date"]
    odd = draw(st.sets(st.tuples(st.integers(0, 3), st.integers(0, len(headings) - 1)), max_size=3))
    rows = [
        [draw(CELLS) if (row, place) in odd else GOOD[heading] for place, heading in enumerate(headings)]
        for row in range(draw(st.integers(0, 4)))
    ]
    return kind, [headings, *rows]


def look(data: bytes, kind: MeasureKind, timing: str) -> None:
    study = Study(
        improvement=1,
        measure="m",
        moment="before",
        kind=kind,
        timing=timing,  # type: ignore[arg-type]
        elements=(Element(name="fetch"),) if timing == "continuous" else (),
    )
    try:
        plan = plan_import(read_table(data, "file"), study, SHOP)
    except InputError as refused:
        sentences = [problem.sentence() for problem in refused.problems]
    else:
        sentences = [problem.sentence() for problem in plan.problems]
        for row in plan.rows:
            assert Observation.model_validate(row.model_dump()) == row
        assert bool(sentences) or len(plan.rows) + len(plan.left_out) > 0
    assert all(sentence.endswith((".", "?", "!")) and "\n" not in sentence for sentence in sentences)


kinds = st.sampled_from(list(MeasureKind))
timings = st.sampled_from(["snapback", "continuous"])


@given(data=st.binary(max_size=200), kind=kinds, timing=timings)
@example(data=b"PK\x03\x04" + bytes(30), kind=MeasureKind.TIMES, timing="snapback")
@example(data=b"\xff\xfe", kind=MeasureKind.TIMES, timing="snapback")
@settings(max_examples=150, deadline=None)
def test_any_bytes(data: bytes, kind: MeasureKind, timing: str):
    look(data, kind, timing)


@given(table=tables(), delimiter=st.sampled_from([",", ";", "\t"]), timing=timings)
@settings(max_examples=400, deadline=None)
def test_any_cells_under_any_headings(table: tuple[MeasureKind, list[list[str]]], delimiter: str, timing: str):
    kind, rows = table
    text = "\r\n".join(delimiter.join(row) for row in rows)
    look(text.encode("utf-8", "ignore"), kind, timing)


def _workbook() -> bytes:
    buffer = io.BytesIO()
    with xlsxwriter.Workbook(buffer, {"in_memory": True}) as book:
        page = book.add_worksheet("Times")
        page.write_row("A1", ["date", "cycle", "sec"])
        page.write_row("A2", ["2026-07-13", 1, 41.5])
        page.merge_range("A3:A4", "2026-07-14")
        page.write_formula("C3", "=1+1", None, 2)
    return buffer.getvalue()


WORKBOOK = _workbook()


@given(
    changes=st.lists(st.tuples(st.integers(0, len(WORKBOOK) - 1), st.integers(0, 255)), max_size=4),
    cut=st.integers(0, len(WORKBOOK)) | st.none(),
)
@settings(max_examples=200, deadline=None)
def test_any_damage_to_a_workbook(changes: list[tuple[int, int]], cut: int | None):
    data = bytearray(WORKBOOK[:cut])
    for place, value in changes:
        if place < len(data):
            data[place] = value
    look(bytes(data), MeasureKind.TIMES, "snapback")
