"""`floorwright study`: plan, change, add a reading, correct one, show, list."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Any

import click

from floorwright.basis.errors import InputError
from floorwright.basis.quantity import TIME, UnitSystem, parse
from floorwright.cli.common import (
    assignments,
    author,
    author_options,
    facts,
    json_option,
    opened,
    print_json,
    settings_of,
    shop_argument,
    table,
)
from floorwright.shop import baseline as base
from floorwright.shop import studies as use
from floorwright.shop.filed import checked
from floorwright.shop.records import MeasureKind, Observation
from floorwright.shop.showing import level_text, number_text, unit_of

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
        filed = use.change_study(found, number, assignments(sets), author(who, role), reason=reason)
    click.echo(f"Study {filed.id} is now at version {filed.version}.")


@study.command(
    epilog="Examples:\n\n\b\n  floorwright study add my-shop 5 '48 s' --operator W3 --part 'bench end'\n"
    "  floorwright study add my-shop 6 3 --exposure 40 --note 'three scratched panels of forty'"
)
@shop_argument
@study_argument
@click.argument("value")
@click.option("--element", default="", help="Element of the cycle [default: the whole cycle].")
@click.option("--cycle", type=int, help="Number of the cycle [default: the next one].")
@click.option("--at", type=click.DateTime(["%Y-%m-%dT%H:%M:%S", "%Y-%m-%dT%H:%M"]), help="When [default: now].")
@click.option("--exposure", type=float, help="For counts and shares: over how many pieces or looks.")
@click.option("--operator", default="", help="Operator code such as W3, never a name.")
@click.option("--part", default="", help="Part number or name.")
@click.option("--lot", type=int, help="Lot size.")
@click.option("--shift", default="", help="Shift.")
@click.option("--driver", default="", help="What the time depends on: piece, kg, m.")
@click.option("--amount", type=float, help="How much of the driver this reading had.")
@click.option("--setup", is_flag=True, help="It is set-up, not run.")
@click.option("--rating", type=float, help="Performance rating, 1 is standard.")
@click.option("--foreign", is_flag=True, help="It does not belong to the work: kept, but left out of the mean.")
@click.option("--note", default="", help="Why it is odd.")
def add(shop: Path, number: int, value: str, **given: Any) -> None:
    """Add one reading VALUE to STUDY."""
    with opened(shop) as found:
        filed = use.study(found, number)
        held = use.observations_of(found, number)
        at = given.pop("at") or found.clock.now()
        cycle = given.pop("cycle") or max((row.cycle for row in held), default=0) + 1
        raw = {
            "key": f"typed|{at.isoformat()}|{cycle}|{given['element']}",
            "taken_at": at,
            "cycle": cycle,
            "value": _reading(value, filed.record.kind, settings_of(found).units),
            "exposure": given["exposure"],
            "element": given["element"],
            "work": "setup" if given["setup"] else "run",
            "part": given["part"],
            "lot_size": given["lot"],
            "shift": given["shift"],
            "operator": given["operator"],
            "driver": given["driver"],
            "driver_amount": given["amount"],
            "rating": given["rating"],
            "foreign": given["foreign"],
            "note": given["note"],
        }
        use.add_observations(found, number, [checked(Observation, raw)])
    click.echo(f"Reading {raw['key']} is stored.")


def _reading(text: str, kind: MeasureKind, system: UnitSystem) -> float:
    from floorwright.exchange.improvement_file import DIMENSION_OF

    dimension = DIMENSION_OF[kind]
    try:
        if dimension is None or kind is MeasureKind.SHARES:
            return float(text)
        if dimension is not TIME and text.replace(".", "", 1).isdigit():
            text = f"{text} {dimension.shown_unit(system)}"
        return parse(float(text) if text.replace(".", "", 1).isdigit() else text, dimension)
    except ValueError as error:
        raise InputError.of("value", text, str(error)) from None


@study.command(
    epilog="Example:\n\n\b\n  floorwright study correct my-shop 5 KEY --set value=38 --reason 'misread 83'"
)
@shop_argument
@study_argument
@click.argument("key")
@click.option(
    "--set", "sets", multiple=True, required=True, metavar="FIELD=VALUE", help="Fields in SI; repeatable."
)
@click.option("--reason", required=True, help="Why; the first reading stays readable.")
def correct(shop: Path, number: int, key: str, sets: tuple[str, ...], reason: str) -> None:
    """Correct the reading KEY of STUDY by a new one that names it."""
    with opened(shop) as found:
        new = use.correct_observation(found, number, key, assignments(sets), reason)
    click.echo(f"Reading {new.key} replaces {new.replaces}.")


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
    click.echo(table(["study", "improvement", "measure", "moment", "readings"], lines, right="abe"))


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
        lines = [
            [
                row.key,
                f"{row.taken_at:%Y-%m-%d %H:%M}",
                str(row.cycle),
                row.element,
                f"{row.value:g}",
                "foreign" if row.foreign else "",
                row.note,
            ]
            for row in rows
        ]
        click.echo(table(["key", "taken", "cycle", "element", "value (SI)", "", "note"], lines, right="ce"))


def _print_baseline(said: base.Baseline, system: UnitSystem) -> None:
    record, series = said.study.record, said.series
    click.echo(f"Study {said.study.id}: {record.measure}, {record.moment}, {len(series.points)} values")
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
    if said.sample is not None:
        needed = said.sample.results
        pairs["How many"] = (
            f"{needed['observations']} readings give the mean within 5 %; time {needed['more_needed']} more"
            if needed["more_needed"]
            else f"enough: {needed['observations']} readings give the mean within 5 %"
        )
    click.echo(facts(pairs, indent="  "))
    for title, outcome in (("run", said.times), ("set-up", said.setup_times)):
        if outcome is not None:
            _print_elements(title, outcome, record.allowance, record.allowance_basis)


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
    click.echo(table([f"element ({title})", "mean", "sd", "normal"], lines, indent="  ", right="bcd"))
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
        "sample_size": said.sample.to_record("sample_size") if said.sample else None,
        "readings": [row.model_dump(mode="json") for row in rows],
    }
