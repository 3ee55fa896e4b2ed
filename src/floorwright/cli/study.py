"""`floorwright study`: plan, change, add a reading, correct one, show, list."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from pathlib import Path
from typing import Any, Final

import click

from floorwright.basis.errors import InputError
from floorwright.basis.outcome import Outcome
from floorwright.basis.quantity import DISTANCE, UnitSystem, write
from floorwright.cli.common import (
    assignments,
    author,
    author_options,
    json_option,
    opened,
    print_json,
    settings_of,
    shop_argument,
)
from floorwright.cli.reading import (
    key_of,
    next_cycle,
    short_keys,
    typed_fields,
    typed_rating,
    typed_value,
    value_text,
)
from floorwright.cli.reading import number as read_number
from floorwright.cli.screen import facts, plain, table
from floorwright.shop import baseline as base
from floorwright.shop import studies as use
from floorwright.shop.filed import checked
from floorwright.shop.improvements import MINIMUM_CYCLES
from floorwright.shop.records import MeasureKind, Observation, Study
from floorwright.shop.series import TOTALS
from floorwright.shop.showing import level_text, number_text, unit_of

LEGS_SHOWN: Final = 8  # of the from-to chart, those with the most walking

study_argument = click.argument("number", type=int, metavar="STUDY")


@click.group()
def study() -> None:
    """Studies: readings of one measure, before the change, after it, or again."""


@study.command(
    epilog="Example:\n\n\b\n  floorwright study plan my-shop 3 'fetch clamps' before --people-asked 2026-11-25 \\\n"
    "      --element walk --element pick --element return"
)
@shop_argument
@click.argument("improvement", type=int)
@click.argument("measure")
@click.argument("moment", type=click.Choice(["before", "after", "again"]))
@click.option("--people-asked", type=click.DateTime(["%Y-%m-%d"]), help="Day on which the people were asked.")
@click.option("--element", "elements", multiple=True, help="An element of the cycle, in order; may be repeated.")
@click.option("--setup-element", "setup", multiple=True, help="An element of the set-up; may be repeated.")
@click.option("--timing", type=click.Choice(["snapback", "continuous"]), default="snapback", show_default=True)
@click.option("--planned", type=int, help="Number of readings fixed beforehand.")
@click.option("--allowance", default="15 %", show_default=True, help="For the standard time.")
@click.option("--allowance-basis", type=click.Choice(["work_time", "shift_time"]), default="work_time")
@author_options
def plan(
    shop: Path,
    improvement: int,
    measure: str,
    moment: str,
    people_asked: dt.datetime | None,
    elements: tuple[str, ...],
    setup: tuple[str, ...],
    timing: str,
    planned: int | None,
    allowance: str,
    allowance_basis: str,
    who: str | None,
    role: str,
) -> None:
    """Plan a study of MEASURE of IMPROVEMENT at a MOMENT: before, after or again."""
    raw: dict[str, Any] = {
        "improvement": improvement,
        "measure": measure,
        "moment": moment,
        "people_asked_on": people_asked.date() if people_asked else None,
        "elements": [{"name": name, "work": "setup"} for name in setup] + [{"name": name} for name in elements],
        "timing": timing,
        "planned": planned,
        "allowance": _fraction(allowance),
        "allowance_basis": allowance_basis,
    }
    with opened(shop) as found:
        filed = use.plan_study(found, raw, author(who, role))
    click.echo(f"Study {filed.id}: {measure}, {moment}.")
    if filed.record.people_asked_on is None:
        click.echo("Ask the people before you time them, then note the day:")
        click.echo(f"  floorwright study change {shop} {filed.id} --set people_asked_on={dt.date.today()}")  # noqa: DTZ011  the shop's own day


def _fraction(text: str) -> float:
    number = text.strip()
    try:
        return float(number.rstrip("%")) / (100 if number.endswith("%") else 1)
    except ValueError:
        raise InputError.of("--allowance", text, f"'{text}' should be a share such as '15 %' or 0.15") from None


@study.command(epilog="Example:\n\n\b\n  floorwright study change my-shop 5 --set people_asked_on=2026-11-25")
@shop_argument
@study_argument
@click.option("--set", "sets", multiple=True, required=True, metavar="FIELD=VALUE", help="A field; repeatable.")
@click.option("--reason", default="", help="Why.")
@author_options
def change(shop: Path, number: int, sets: tuple[str, ...], reason: str, who: str | None, role: str) -> None:
    """Change fields of STUDY."""
    with opened(shop) as found:
        filed = use.change_study(found, number, assignments(sets, Study), author(who, role), reason=reason)
    click.echo(f"Study {filed.id} is now at version {filed.version}.")


@study.command(
    epilog="Examples:\n\n\b\n  floorwright study add my-shop 5 48 --operator W3 --part 'bench end'\n"
    "  floorwright study add my-shop 5 1:15 --element walk\n"
    "  floorwright study add my-shop 6 3 --exposure 40 --note 'three scratched panels of forty'"
)
@shop_argument
@study_argument
@click.argument("value")
@click.option("--element", default="", help="Element of the cycle [default: the whole cycle].")
@click.option("--cycle", type=int, help="Number of the cycle [default: the next one].")
@click.option("--at", type=click.DateTime(["%Y-%m-%dT%H:%M:%S", "%Y-%m-%dT%H:%M"]), help="When [default: now].")
@click.option("--exposure", help="For counts and shares: over how many pieces or looks.")
@click.option("--operator", default="", help="Operator code such as W3, never a name.")
@click.option("--part", default="", help="Part number or name.")
@click.option("--lot", type=int, help="Lot size.")
@click.option("--shift", default="", help="Shift.")
@click.option("--driver", default="", help="What the time depends on: piece, kg, m.")
@click.option("--amount", help="How much of the driver this reading had.")
@click.option("--setup", is_flag=True, help="It is set-up, not run.")
@click.option("--rating", help="Performance rating such as 95 %.")
@click.option("--foreign", is_flag=True, help="It does not belong to the work: kept, but left out of the mean.")
@click.option("--note", default="", help="Why it is odd.")
def add(shop: Path, number: int, value: str, **given: Any) -> None:
    """Add one reading VALUE to STUDY: 48, '48 s', 1:15, '150 ft'.

    A bare number is in the shop's own unit (ft or m, lb or kg ...), a bare time in seconds.
    """
    with opened(shop) as found:
        record, system = use.study(found, number).record, settings_of(found).units
        held = use.observations_of(found, number)
        row = _typed(record, held, found.clock.now(), typed_value(value, record.kind, system), given)
        new = use.add_observations(found, number, [row])
    shown = f"{value_text(row, record, system)} as cycle {row.cycle}" + (f", {row.element}" if row.element else "")
    if new:
        click.echo(
            f"Study {number} ({record.measure}, {record.moment}) now holds {shown}; its key is {row.key[:8]}."
        )
    else:
        click.echo(f"Study {number} held this reading already: {shown}.")


def _typed(
    study: Study, held: Sequence[Observation], now: dt.datetime, value: float, given: dict[str, Any]
) -> Observation:
    at = given["at"] or now
    element = _declared(study, given["element"], foreign=given["foreign"])
    cycle = given["cycle"] if given["cycle"] is not None else next_cycle(held, element)
    setup = given["setup"] or any(each.name == element and each.work == "setup" for each in study.elements)
    raw = {
        "key": key_of(at, cycle, element),
        "taken_at": at,
        "cycle": cycle,
        "value": value,
        "exposure": _number_or_none(given["exposure"], "exposure"),
        "element": element,
        "work": "setup" if setup else "run",
        "part": given["part"],
        "lot_size": given["lot"],
        "shift": given["shift"],
        "operator": given["operator"],
        "driver": given["driver"],
        "driver_amount": _number_or_none(given["amount"], "amount"),
        "rating": None if given["rating"] is None else typed_rating(given["rating"]),
        "foreign": given["foreign"],
        "note": given["note"],
    }
    return checked(Observation, raw)


def _number_or_none(text: str | None, field: str) -> float | None:
    return None if text is None else read_number(text, field)


def _declared(study: Study, element: str, *, foreign: bool) -> str:
    """The element as the study writes it. Raises InputError for one that it does not have."""
    names = {each.name.casefold(): each.name for each in study.elements}
    if not names or foreign or element.strip().casefold() in names:
        return names.get(element.strip().casefold(), element.strip())
    wanted = ", ".join(names.values())
    said = f"'{element}' is not an element of the study" if element.strip() else "is missing"
    raise InputError.of("--element", element, f"{said}; its elements are {wanted}")


@study.command(
    epilog="Example:\n\n\b\n  floorwright study correct my-shop 5 4f2a91 --set value=38 --reason 'misread 83'"
)
@shop_argument
@study_argument
@click.argument("key")
@click.option("--set", "sets", multiple=True, required=True, metavar="FIELD=VALUE", help="A field; repeatable.")
@click.option("--reason", required=True, help="Why; the first reading stays readable.")
def correct(shop: Path, number: int, key: str, sets: tuple[str, ...], reason: str) -> None:
    """Correct the reading KEY of STUDY by a new one that names it.

    The first digits of the key are enough, as `study show --readings` shows them. A value is written as for
    `study add`: a bare number is in the shop's own unit.
    """
    with opened(shop) as found:
        record, system = use.study(found, number).record, settings_of(found).units
        fields = typed_fields(assignments(sets, Observation), record, system)
        old = use.find_reading(found, number, key)
        new = use.correct_observation(found, number, old.key, fields, reason)
    was, now = (value_text(row, record, system) for row in (old, new))
    changed = f"{now} instead of {was}" if now != was else ", ".join(fields)
    click.echo(f"Reading {new.key} replaces {new.replaces}: {changed}.")


@study.command(name="list", epilog="Example:\n\n\b\n  floorwright study list my-shop")
@shop_argument
@json_option
def list_(shop: Path, as_json: bool) -> None:
    """List the studies of SHOP with their readings."""
    with opened(shop) as found:
        rows = use.study_rows(found)
    if as_json:
        print_json(
            [
                {"number": each.filed.id, "readings": each.readings, **each.filed.record.model_dump(mode="json")}
                for each in rows
            ]
        )
        return
    lines = [
        [
            str(each.filed.id),
            str(each.filed.record.improvement),
            each.filed.record.measure,
            each.filed.record.moment,
            f"{each.readings:,}",
        ]
        for each in rows
    ]
    if not lines:
        click.echo("No study yet. Plan one with: floorwright study plan")
        return
    click.echo(table(["study", "improvement", "measure", "moment", "readings"], lines, right="abe", wrap="c"))


@study.command(epilog="Example:\n\n\b\n  floorwright study show my-shop 5")
@shop_argument
@study_argument
@click.option("--readings", is_flag=True, help="Every reading with its key, corrected ones too.")
@json_option
def show(shop: Path, number: int, readings: bool, as_json: bool) -> None:
    """What STUDY says so far: level with interval, element times, standard time, how many more."""
    with opened(shop) as found:
        said = base.baseline(found, number)
        rows = use.observations_of(found, number, with_replaced=True) if readings else []
        system = settings_of(found).units
    if as_json:
        print_json(_baseline_json(said, rows))
        return
    _print_baseline(said, system)
    if rows:
        click.echo()
        click.echo(_readings_table(rows, said.study.record, system))


def _readings_table(rows: Sequence[Observation], study: Study, system: UnitSystem) -> str:
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


def _print_baseline(said: base.Baseline, system: UnitSystem) -> None:
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
    pairs["How many"] = _how_many(said)
    pairs["To see it"] = _to_see(said, system)
    click.echo(facts(pairs, indent="  "))
    if said.walks is not None:
        _print_walks(said.walks, system)
    for title, outcome in (("run", said.times), ("set-up", said.setup_times)):
        if outcome is not None:
            _print_elements(title, outcome, record.allowance, record.allowance_basis)


def _how_many(said: base.Baseline) -> str:
    """How many readings are enough: for a verdict, and for the mean within 5 %."""
    have = len(said.series.points)
    if not have or said.measure.kind in TOTALS:
        return ""
    short = max(0, MINIMUM_CYCLES - have)
    least = f"a verdict needs {MINIMUM_CYCLES} readings; take {short} more" if short else ""
    if said.sample is None:
        return least
    needed, more = said.sample.results["observations"], said.sample.results["more_needed"]
    mean = f"{needed:,} readings give the mean within 5 %"
    if more <= short:
        return least or f"enough: {mean}"
    return f"{least}; {mean}" if least else f"{mean}, if you need it that close; take {more:,} more for that"


def _to_see(said: base.Baseline, system: UnitSystem) -> str:
    """How many readings would show the smallest change that matters."""
    if said.to_see is None or said.study.record.moment != "before":
        return ""
    smallest = level_text(said.measure, said.measure.smallest_that_matters, system)
    counted = {MeasureKind.COUNTS: "exposure", MeasureKind.SHARES: "looks"}.get(said.measure.kind, "readings")
    needed = said.to_see.results["observations_each"]
    return f"about {needed:,} {counted} before and after show a change of {smallest}, four times in five"


def _print_walks(walks: Outcome, system: UnitSystem) -> None:
    legs = walks.results["chart"]
    lines = [
        [
            each["from"],
            each["to"],
            f"{each['count']:g}",
            write(each["distance_m"], DISTANCE, system),
            write(each["total_m"], DISTANCE, system),
            f"{each['share']:.0%}",
        ]
        for each in legs[:LEGS_SHOWN]
    ]
    click.echo()
    click.echo(table(["from", "to", "trips", "each", "in all", "share"], lines, indent="  ", right="cdef"))
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


def _baseline_json(said: base.Baseline, rows: list[Observation]) -> dict[str, Any]:
    return {
        "study": said.study.id,
        "measure": said.measure.name,
        "values": said.series.values,
        "level": said.level,
        "low": said.low,
        "high": said.high,
        "left_out": list(said.series.left_out),
        "foreign": len(said.series.foreign),
        "time_study": said.times.to_record("time_study") if said.times else None,
        "sample_size": said.sample.results if said.sample else None,
        "readings": [row.model_dump(mode="json") for row in rows],
    }
