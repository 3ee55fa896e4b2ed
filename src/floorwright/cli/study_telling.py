"""What a study says, as text for the terminal and as JSON for scripts."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import click

from floorwright.basis.outcome import Outcome
from floorwright.basis.quantity import UnitSystem
from floorwright.cli.screen import facts, plain, table
from floorwright.shop.baseline import Baseline
from floorwright.shop.baseline_words import LEGS_SHOWN, how_many, legs_text, to_see
from floorwright.shop.records import Observation, Study
from floorwright.shop.showing import level_text, number_text, unit_of
from floorwright.shop.typed import short_keys, value_text


def readings_table(rows: Sequence[Observation], study: Study, system: UnitSystem) -> str:
    """Every reading with its key, in the shop's units."""
    replaced = {row.replaces for row in rows}
    lines = [
        [
            key,
            f"{row.taken_at:%Y-%m-%d %H:%M}",
            str(row.cycle),
            row.element,
            value_text(row, study, system),
            "replaced" if row.key in replaced else "foreign" if row.foreign else "",
            row.note,
        ]
        for key, row in zip(short_keys(rows), rows, strict=True)
    ]
    return table(["key", "taken", "cycle", "element", "value", "", "note"], lines, right="ce", wrap="dg")


def print_baseline(said: Baseline, system: UnitSystem) -> None:
    """What a study says so far, as text."""
    record, series = said.study.record, said.series
    count = len(series.points)
    values = f"{count:,} value{'' if count == 1 else 's'}"
    click.echo(f"Study {said.study.id}: {plain(record.measure)}, {record.moment}, {values}")
    unit, factor = unit_of(said.measure, system, size=abs(said.level or 0))
    interval = (
        f" ({number_text(said.low * factor)} to {number_text(said.high * factor)})"
        if said.low is not None and said.high is not None
        else ""
    )
    odd = [point for point in series.points if point.outlier]
    pairs = {
        "Level": level_text(said.measure, said.level, system) + interval,
        "Readings": f"{len(series.foreign)} foreign, marked and left out of the mean" if series.foreign else "",
        "Far out": "; ".join(
            f"cycle {point.cycle}: {number_text(point.value * factor)} {unit}"
            + (f" ({point.note})" if point.note else " (no note; ask why)")
            for point in odd
        )
        + (" - shown and kept" if odd else ""),
        "Left out": "; ".join(series.left_out),
        "Asked": f"people were asked on {record.people_asked_on}"
        if record.people_asked_on
        else "people not asked yet",
    }
    pairs["How many"] = how_many(said)
    pairs["To see it"] = to_see(said, system)
    click.echo(facts(pairs, indent="  "))
    if said.walks is not None:
        _print_walks(said.walks, system)
    for title, outcome in (("run", said.times), ("set-up", said.setup_times)):
        if outcome is not None:
            _print_elements(title, outcome, record.allowance, record.allowance_basis)


def _print_walks(walks: Outcome, system: UnitSystem) -> None:
    legs = walks.results["chart"]
    click.echo()
    click.echo(
        table(
            ["from", "to", "trips", "each", "in all", "share"], legs_text(walks, system), indent="  ", right="cdef"
        )
    )
    if len(legs) > LEGS_SHOWN:
        click.echo(f"  and {len(legs) - LEGS_SHOWN} more legs")


def _print_elements(title: str, outcome: Any, allowance: float, basis: str) -> None:
    results = outcome.results
    lines = [
        [
            each["name"],
            *(
                number_text(each[name].value_si) + " s" if each[name] is not None else "-"
                for name in ("mean", "sd", "normal_time")
            ),
        ]
        for each in results["elements"]
    ]
    click.echo()
    headings = [f"element ({title})", "mean", "spread (sd)", "normal a cycle"]
    click.echo(table(headings, lines, indent="  ", right="bcd", wrap="a"))
    share = "of work time" if basis == "work_time" else "of shift time"
    click.echo(
        f"  normal time {number_text(results['normal_time'].value_si)} s; standard time "
        f"{number_text(results['standard_time'].value_si)} s with an allowance of {allowance:.0%} {share}"
    )
