"""`floorwright study`: plan, change, add a reading, correct one, show, list."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import click

from floorwright.basis.errors import InputError
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
from floorwright.cli.screen import table
from floorwright.cli.study_telling import print_baseline, readings_table
from floorwright.exchange.for_programs import baseline_json, readings_json, study_json
from floorwright.shop import baseline as base
from floorwright.shop import studies as use
from floorwright.shop.filed import checked
from floorwright.shop.records import Observation, Study
from floorwright.shop.typed import (
    key_of,
    next_cycle,
    typed_fields,
    typed_rating,
    typed_value,
    value_text,
)
from floorwright.shop.typed import number as read_number

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
@json_option
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
    as_json: bool,
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
    if as_json:
        print_json({"study": filed.id, "version": filed.version})
        return
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
@json_option
def add(shop: Path, number: int, value: str, as_json: bool, **given: Any) -> None:
    """Add one reading VALUE to STUDY: 48, '48 s', 1:15, '150 ft'.

    A bare number is in the shop's own unit (ft or m, lb or kg ...), a bare time in seconds.
    """
    with opened(shop) as found:
        record, system = use.study(found, number).record, settings_of(found).units
        held = use.observations_of(found, number)
        row = _typed(record, held, found.clock.now(), typed_value(value, record.kind, system), given)
        new = use.add_observations(found, number, [row])
    if as_json:
        print_json({"study": number, "key": row.key, "cycle": row.cycle, "value": row.value, "new": bool(new)})
        return
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
        print_json([study_json(each.filed, each.readings) for each in rows])
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
        print_json(baseline_json(said) | {"readings": readings_json(rows)})
        return
    print_baseline(said, system)
    if rows:
        click.echo()
        click.echo(readings_table(rows, said.study.record, system))
