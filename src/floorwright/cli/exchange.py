"""`floorwright import` and `floorwright export`."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Final

import click

from floorwright import bootstrap, catalogue
from floorwright.basis.errors import InputError, Problem
from floorwright.basis.json_text import read_json
from floorwright.cli.common import author, author_options, json_option, opened, print_json, shop_argument
from floorwright.cli.screen import paragraph, table
from floorwright.exchange.choosing_table import choosing_table
from floorwright.exchange.lists import LISTS, Asked, exported, source_of
from floorwright.exchange.plan import Choices, ImportPlan, Progress
from floorwright.exchange.survey import DateOrder
from floorwright.exchange.tables import Table
from floorwright.exchange.vocabulary import DIMENSIONS
from floorwright.exchange.writing import export_observations, write_table
from floorwright.hold.run_rules import MEANING
from floorwright.shop.ports import Shop
from floorwright.shop.studies import study as study_of

SHOWN: Final = 12  # problems printed before the rest is counted


@click.command(
    name="import",
    epilog="Examples:\n\n\b\n  floorwright import my-shop times.xlsx --study 5\n"
    "  floorwright import my-shop times.csv --study 5 --column 'Sec=time' --store\n"
    "  floorwright import my-shop times.csv --study 5 --store --leave-out-problems",
)
@shop_argument
@click.argument("file", type=click.Path(path_type=Path, dir_okay=False))
@click.option("--study", type=int, required=True, help="Number of the study that the readings belong to.")
@click.option("--sheet", help="Sheet of a workbook [default: the only one].")
@click.option(
    "--column", "columns", multiple=True, metavar="HEADING=MEANING", help="What a column means; repeatable."
)
@click.option("--day", type=click.DateTime(["%Y-%m-%d"]), help="Day of readings that carry no date.")
@click.option("--dates", type=click.Choice(["month first", "day first"]), help="How 07/11/2026 is meant.")
@click.option("--unit", "units", multiple=True, metavar="MEANING=UNIT", help="Unit of bare numbers; repeatable.")
@click.option("--code", "codes", multiple=True, metavar="NAME=CODE", help="Code of an operator named in the file.")
@click.option("--exposure", type=float, help="What each row of a count was counted over.")
@click.option("--store", is_flag=True, help="Store what the preview shows; without it nothing is stored.")
@click.option("--leave-out-problems", is_flag=True, help="Store the rows without problems, list the others.")
@author_options
@json_option
def import_(
    shop: Path,
    file: Path,
    study: int,
    sheet: str | None,
    columns: tuple[str, ...],
    store: bool,
    leave_out_problems: bool,
    who: str | None,
    role: str,
    as_json: bool,
    **settled: Any,
) -> None:
    """Look at a CSV or XLSX FILE of readings for a study of SHOP; store it with --store."""
    with opened(shop) as found:
        filed = study_of(found, study)
        with _progress(as_json) as progress:
            plan = bootstrap.look_at_file(
                found,
                filed,
                file,
                sheet=sheet,
                mapping=_pairs("--column", columns) or None,
                choices=_choices(settled),
                progress=progress,
            )
        may_store = plan.can_store or (leave_out_problems and plan.can_store_the_rest)
        new = None
        if store and may_store:
            new = bootstrap.store_plan(found, filed, plan, author(who, role), leave_out_problems=leave_out_problems)
    if as_json:
        print_json(_as_json(plan, new))
    else:
        _print(plan, new, study, asked=store)
    if plan.problems and new is None:
        click.get_current_context().exit(2)


def _choices(settled: dict[str, Any]) -> Choices:
    orders: dict[str | None, DateOrder] = {"month first": "month", "day first": "day"}
    return Choices(
        day=settled["day"].date() if settled["day"] else None,
        date_order=orders.get(settled["dates"], ""),
        operators=_pairs("--code", settled["codes"]),
        units=_units(_pairs("--unit", settled["units"])),
        exposure=settled["exposure"],
    )


def _units(given: dict[str, str]) -> dict[str, str]:
    """Units of bare numbers by meaning. Raises InputError for a meaning or a unit that nothing has."""
    for meaning, unit in given.items():
        dimensions = [held[meaning] for held in DIMENSIONS.values() if meaning in held]
        if not dimensions:
            known = ", ".join(dict.fromkeys(name for held in DIMENSIONS.values() for name in held))
            raise InputError.of("--unit", meaning, f"'{meaning}' is nothing that has a unit; write one of {known}")
        if not any(unit in dimension.units for dimension in dimensions):
            known = ", ".join(dict.fromkeys(unit for each in dimensions for unit in (each.us, each.si)))
            raise InputError.of("--unit", unit, f"'{unit}' is not a unit of {meaning}; write one such as {known}")
    return given


def _pairs(option: str, given: tuple[str, ...]) -> dict[str, str]:
    pairs = {}
    for pair in given:
        name, equals, value = pair.rpartition("=")
        if not equals or not name.strip():
            raise InputError.of(option, pair, f"'{pair}' should have two sides, such as 'Sec=time'")
        pairs[name.strip()] = value.strip()
    return pairs


@contextmanager
def _progress(quiet: bool) -> Iterator[Progress | None]:
    """Say how far a long file has come, on a terminal only."""
    if quiet or not sys.stderr.isatty():
        yield None
        return

    def say(what: str, done: int, of: int) -> None:
        share = f" of {of:,}" if of else ""
        click.echo(f"\r  {what}: {done:,}{share} rows   ", nl=False, err=True)

    yield say
    click.echo("\r" + " " * 60 + "\r", nl=False, err=True)


def _print(plan: ImportPlan, new: int | None, study: int, *, asked: bool) -> None:
    sheet = f", sheet {plan.sheet}" if plan.sheet else ""
    click.echo(f"{plan.file}{sheet}: {plan.summary()}")
    for note in plan.notes:
        click.echo(paragraph(note, indent="  "))
    if plan.preview:
        click.echo()
        click.echo(table(plan.preview_columns, plan.preview, indent="  ", wrap=_words_of(plan)))
    if plan.problems:
        click.echo("\nLeft out" if new is not None else "\nTo settle")
        for problem in plan.problems[:SHOWN]:
            click.echo(paragraph(problem.sentence(), indent="  "))
        if plan.problem_count > SHOWN:
            click.echo(f"  and {plan.problem_count - SHOWN:,} more; see them all with --json")
    rightly = [each for each in plan.left_out if not each.problem]
    if rightly:
        click.echo("\nPassed over")
        for each in rightly[:SHOWN]:
            click.echo(f"  row {each.row}: {each.reason}")
        if len(rightly) > SHOWN:
            click.echo(f"  and {len(rightly) - SHOWN:,} more; see them all with --json")
    click.echo(f"\n{_ending(plan, new, study, asked=asked)}")


def _words_of(plan: ImportPlan) -> str:
    """Letters of the columns of the preview that hold words."""
    return "".join(chr(ord("a") + i) for i, name in enumerate(plan.preview_columns) if name in ("note", "part"))


def _ending(plan: ImportPlan, new: int | None, study: int, *, asked: bool) -> str:
    """What was stored, or what to do so that it is."""
    if new is not None:
        return f"{new:,} {'reading is' if new == 1 else 'readings are'} stored in study {study}."
    if plan.blocking:
        return "Nothing is stored. Settle what concerns the whole file first."
    if plan.problems and not len(plan.rows):
        return "Nothing is stored. Mend these rows in the file and import it again; no other row is new."
    if plan.problems:
        return "Nothing is stored. Mend the file, or add --store --leave-out-problems to store the other rows."
    if not len(plan.rows):
        return "Nothing new to store."
    return "Nothing new to store." if asked else "Nothing is stored yet. Add --store to store these rows."


def _as_json(plan: ImportPlan, new: int | None) -> dict[str, Any]:
    return {
        "file": plan.file,
        "sheet": plan.sheet,
        "readings": len(plan.rows),
        "stored": new,
        "problems": [problem.to_record() for problem in plan.problems],
        "problem_count": plan.problem_count,
        "left_out": [{"row": each.row, "reason": each.reason} for each in plan.left_out],
        "already_there": list(plan.already_there),
        "notes": list(plan.notes),
        "preview": {"columns": list(plan.preview_columns), "rows": [list(row) for row in plan.preview]},
    }


@click.command(
    epilog="Examples:\n\n\b\n  floorwright export my-shop observations readings.xlsx --study 5\n"
    "  floorwright export my-shop improvements improvements.csv\n"
    "  floorwright export my-shop ledger ledger.xlsx\n"
    "  floorwright export my-shop control-chart holds.xlsx --improvement 1\n"
    "  floorwright export my-shop choosing first.xlsx --choice choose.json"
)
@shop_argument
@click.argument("what", type=click.Choice(["observations", *LISTS]))
@click.argument("target", type=click.Path(path_type=Path, dir_okay=False))
@click.option("--study", type=int, help="Number of the study, for lists of one study.")
@click.option("--improvement", type=int, help="Number of the improvement, for lists of one; history takes one too.")
@click.option("--measure", default="", help="Name of the measure, for control-chart [default: the main one].")
@click.option("--chart", "kind", default="", help="Kind of control-chart: xmr, p, c or u [default: what fits].")
@click.option("--baseline", type=int, help="How many of the first readings set the limits of control-chart.")
@click.option(
    "--rule",
    "rules",
    multiple=True,
    type=click.Choice(list(MEANING)),
    metavar="RULE",
    help="What marks a reading of control-chart, such as six_trending; repeatable [default: beyond_limit].",
)
@click.option(
    "--choice",
    type=click.Path(path_type=Path, dir_okay=False, exists=True),
    help="Choose from this instead of the open improvements: JSON as calc choose takes it.",
)
def export(shop: Path, what: str, target: Path, study: int | None, choice: Path | None, **more: Any) -> None:
    """Write WHAT of SHOP to TARGET, a .csv or .xlsx file.

    The observations of a study come back unchanged by import; ledger holds every step, gains what stands in the
    name of each improvement, months what has come in, history who changed what, choosing what to do first.

    Of one improvement: results, levels, intervals, comparison (every value compared), repeats, worth,
    control-chart, design-checks, design-parts, notes, photos. Of one study: observations, values, elements,
    walks, files.
    """
    if choice is not None and what != "choosing":
        raise InputError.of("--choice", str(choice), "goes with choosing alone; leave it out")
    asked = Asked(study=study, **more)
    with opened(shop) as found:
        if what == "observations":
            rows = _observations(found, asked, target)
        else:
            headings, lines = _listed(found, what, asked) if choice is None else _chosen(choice)
            rows = write_table(target, headings, lines, sheet=what)
    click.echo(f"{target}: {rows:,} rows")


def _observations(shop: Shop, asked: Asked, target: Path) -> int:
    if asked.study is None:
        raise InputError.of("--study", None, "is missing; give the number of the study")
    if asked != Asked(study=asked.study):
        raise InputError.of("observations", None, "are of one study, and take --study alone; leave the rest out")
    filed = study_of(shop, asked.study)
    with shop.work() as work, _progress(quiet=False) as progress:
        return export_observations(filed.record, work.observations.stream(asked.study), target, progress=progress)


def _listed(shop: Shop, what: str, asked: Asked) -> Table:
    try:
        return exported(source_of(shop), what, asked)
    except InputError as error:
        told = [Problem(_OPTIONS.get(each.field, each.field), each.value, each.message) for each in error.problems]
        raise InputError(told) from None


_OPTIONS: Final = {
    "study": "--study",
    "improvement": "--improvement",
    "measure": "--measure",
    "kind": "--chart",
    "baseline": "--baseline",
    "rules": "--rule",
}


def _chosen(choice: Path) -> Table:
    given = read_json(choice.read_bytes())
    return choosing_table(given, catalogue.calculation("choose")(given).results)
