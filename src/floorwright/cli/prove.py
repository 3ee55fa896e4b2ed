"""`floorwright prove`, `ledger` and `due`."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from pathlib import Path
from typing import Final

import click

from floorwright.basis.quantity import UnitSystem
from floorwright.basis.sources import source
from floorwright.basis.working import working_text
from floorwright.cli.common import json_option, opened, print_json, settings_of, shop_argument
from floorwright.cli.screen import paragraph, table
from floorwright.cli.telling import told
from floorwright.exchange.calendar import calendar_text, write_calendar
from floorwright.exchange.for_programs import due_json, ledger_json, months_json, story_json
from floorwright.prove.ledger import TIME, ElementSum, Ledger, Line, Month, Sum
from floorwright.prove.ledger import by_month as monthly
from floorwright.shop.due import due as due_things
from floorwright.shop.gains import gains
from floorwright.shop.ports import Shop
from floorwright.shop.showing import BY_SI_UNIT, number_text, printed_unit
from floorwright.shop.story import Story, stories, story
from floorwright.shop.words import SumText, sum_text


@click.command(
    epilog="Examples:\n\n\b\n  floorwright prove my-shop\n  floorwright prove my-shop 3 --explain\n"
    "  floorwright prove my-shop 3 --json"
)
@shop_argument
@click.argument("number", type=int, required=False)
@click.option("--explain", is_flag=True, help="The working of every comparison, step by step.")
@json_option
def prove(shop: Path, number: int | None, explain: bool, as_json: bool) -> None:
    """Compare before and after of improvement NUMBER of SHOP, or of all: gain, interval, verdict, worth."""
    with opened(shop) as found:
        all_ = [story(found, number)] if number is not None else stories(found)
    if as_json:
        print_json([story_json(each) for each in all_])
        return
    if not all_:
        click.echo(
            f"No improvement yet. Add one with: floorwright improvement add {shop} --title 'What you saw' ..."
        )
    for each in all_:
        click.echo(told(each))
        if explain:
            _explain(each)
        click.echo()


def _explain(each: Story) -> None:
    outcomes = [(proof.measure.name, proof.outcome) for proof in each.proofs if proof.outcome is not None]
    if each.money.outcome is not None:
        outcomes.append(("worth", each.money.outcome))
    for name, outcome in outcomes:
        click.echo(f"\n[{name}]")
        click.echo(working_text(outcome.working, [f"{id_}: {source(id_).text()}" for id_ in outcome.sources]))
        for warning in outcome.warnings:
            click.echo(f"\nNote: {warning}")


@click.command(
    epilog="Examples:\n\n\b\n  floorwright due my-shop --within 60\n  floorwright due my-shop --calendar due.ics"
)
@shop_argument
@click.option("--within", type=click.IntRange(0, 3650), default=30, show_default=True, help="Days ahead.")
@click.option(
    "--calendar",
    type=click.Path(path_type=Path, dir_okay=False),
    help="Write a calendar file (.ics) for any calendar.",
)
@json_option
def due(shop: Path, within: int, calendar: Path | None, as_json: bool) -> None:
    """What needs someone in SHOP next: repeats, readings, decisions, looks at what is watched."""
    with opened(shop) as found:
        things = due_things(found, within_days=within)
        if calendar is not None:
            write_calendar(calendar, calendar_text(things, shop=settings_of(found).name, at=found.clock.now()))
            click.echo(f"{calendar}: {len(things)} {'date' if len(things) == 1 else 'dates'}")
            return
    if as_json:
        print_json(due_json(things))
        return
    if not things:
        click.echo(f"Nothing is due within {within} days.")
        return
    rows = [
        [each.on.isoformat() + (" late" if each.late else ""), str(each.improvement), each.title, each.what]
        for each in things
    ]
    click.echo(table(["on", "no.", "improvement", "what"], rows, right="b", wrap="cd"))


@click.command(epilog="Examples:\n\n\b\n  floorwright ledger my-shop\n  floorwright ledger my-shop --by-month")
@shop_argument
@click.option("--by-month", is_flag=True, help="What has come in so far, month by month.")
@json_option
def ledger(shop: Path, by_month: bool, as_json: bool) -> None:
    """Gains of SHOP: banked, freed and hoped for, by work element; no minute is counted twice."""
    with opened(shop) as found:
        today, currency = found.clock.now().date(), settings_of(found).currency
        months = monthly(gains(found), today) if by_month else ()
        if as_json:
            print_json(months_json(months) if by_month else ledger_json(gains(found)))
        elif by_month:
            click.echo(_months_text(months, currency) if months else "Nothing has come in yet.")
        else:
            click.echo(ledger_text(found))


def _months_text(months: Sequence[Month], currency: str) -> str:
    rows = [
        [f"{each.first_day:%Y-%m}"]
        + [sum_text(each.sum(standing), currency).hours_whole for standing in ("banked", "freed", "hoped")]
        + [f"{currency}{each.sum('banked').money:,}"]
        for each in months
    ]
    total = sum((each.sum("banked").money for each in months), Decimal(0))
    head = table(["month", "banked", "freed", "hoped for", "banked money"], rows, right="bcde")
    return f"{head}\nBanked so far: {currency}{total:,}"


def ledger_text(shop: Shop) -> str:
    """The ledger of an open shop as text."""
    settings = settings_of(shop)
    currency, system = settings.currency, settings.units
    book = gains(shop)
    head = "Gain ledger"
    sums = [(each, sum_text(each, currency)) for each in book.sums if each.standing != "not shown"]
    rows = [[_SAID[each.standing], shown.hours_whole, _money(each, shown, currency)] for each, shown in sums]
    parts = [head, table(["counted as", "time a year", "worth a year"], rows, indent="  ", right="bc")]
    intervals = f"In brackets the {settings.confidence:.0%} intervals; the labour rate is taken as known."
    parts.append(paragraph(f"Banked, freed and hoped for are never added up. {intervals}", indent="  "))
    parts += [f"  {_SAID[each.standing].capitalize()}: {shown.missing}." for each, shown in sums if shown.missing]
    if book.rates:
        said = (
            "Worth here is before upkeep and follows the latest level of each piece of work, so it can differ from "
        )
        said += "an improvement's own page."
        parts.append(paragraph(f"{book.rate_sentence(currency)} {said}", indent="  "))
    times = [each for each in book.elements if each.column is TIME]
    if times:
        lines = [
            [
                each.element,
                *(f"{level / 1e6:,.1f} s" for level in (each.first, each.last, each.gain)),
                ", ".join(_stands(book, each, number) for number in each.improvements),
            ]
            for each in times
        ]
        headings = ["work element", "first before", "last after", "gain", "by no., counted as"]
        parts += ["", table(headings, lines, indent="  ", right="bcd", wrap="ae")]
    other = [line for line in book.lines if line.entry.column is not TIME and line.entry.withdrawn_on is None]
    if other:
        rows = [_not_money(line, system) for line in other]
        headings = ["gains that are not money", "no.", "better by", "verdict"]
        parts += ["", table(headings, rows, indent="  ", right="bc", wrap="a")]
    notes = [
        f"'{each.element}' is touched by nos. {' and '.join(map(str, each.improvements))}: its minutes are counted "
        "once, each number with its own step."
        for each in times
        if len(each.improvements) > 1
    ]
    return "\n".join([*parts, *(paragraph(note, indent="  ") for note in (*notes, *book.notes))])


def _money(found: Sum, shown: SumText, currency: str) -> str:
    """Money to the cent, as the lines add up to it, with its interval."""
    if not shown.money:
        return "no money claimed"
    inside = f" ({shown.money_range})" if shown.money_range else ""
    return f"{currency}{found.money:,}{inside}"


_SAID: Final = {"banked": "banked", "freed": "freed", "hoped": "hoped for", "not shown": "not shown"}


def _stands(book: Ledger, element: ElementSum, number: int) -> str:
    """ "1 banked": how the step of an improvement on an element counts."""
    line = next(line for line in book.lines_of(number) if line.entry.element == element.element)
    return f"{number} {_SAID[line.standing] if line.gain >= 0 else 'lost'}"


def _not_money(line: Line, system: UnitSystem) -> list[str]:
    column, number = line.entry.column, line.entry.improvement
    dimension = BY_SI_UNIT.get(column.unit)
    gain = line.gain / 1e6
    if dimension is None:
        unit, factor = column.unit, 1.0
    else:
        unit, factor = printed_unit(dimension, system), dimension.to_shown(1.0, system)
    return [
        column.name,
        str(number),
        f"{number_text(gain * factor)} {unit}",
        line.entry.verdict or "no verdict yet",
    ]
