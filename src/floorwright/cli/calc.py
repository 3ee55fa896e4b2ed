"""`floorwright calc`: every calculation of the catalogue by name."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import click

from floorwright import catalogue
from floorwright.basis.errors import FloorwrightError, InputError, Problem
from floorwright.basis.json_text import read_json
from floorwright.basis.outcome import Outcome
from floorwright.basis.quantity import UnitSystem
from floorwright.basis.sources import source
from floorwright.basis.working import working_text
from floorwright.exchange.outcome_table import outcome_table
from floorwright.exchange.writing import write_table

_EXAMPLE = """
Examples:

\b
  floorwright calc --list
  floorwright calc takt --schema
  echo '{"available_time": "450 min", "demand": 60, "work_content": "24 min"}' | floorwright calc takt -
  floorwright calc lift lift.json --units us --explain
  floorwright calc lift lift.json --table lift.xlsx
  floorwright calc --batch many.jsonl
"""


@click.command(epilog=_EXAMPLE)
@click.argument("name", required=False)
@click.argument("file", required=False, type=click.Path(path_type=Path, allow_dash=True))
@click.option("--list", "list_", is_flag=True, help="The names, one line each.")
@click.option("--schema", is_flag=True, help="JSON Schema of the input of NAME.")
@click.option("--explain", is_flag=True, help="The working, step by step, as text.")
@click.option(
    "--units", type=click.Choice(["si", "us"]), default="si", show_default=True, help="Units of the output."
)
@click.option(
    "--table",
    "target",
    type=click.Path(path_type=Path, dir_okay=False),
    help="Write input, results, checks and working to this .csv or .xlsx file instead.",
)
@click.option(
    "--batch",
    type=click.Path(path_type=Path, allow_dash=True),
    help='One {"calculation": NAME, "input": {...}} a line; one output a line.',
)
@click.pass_context
def calc(
    ctx: click.Context,
    name: str | None,
    file: Path | None,
    list_: bool,
    schema: bool,
    explain: bool,
    units: UnitSystem,
    target: Path | None,
    batch: Path | None,
) -> None:
    """Run one calculation by NAME on the JSON in FILE (- for standard input)."""
    if list_:
        for each in catalogue.all_calculations():
            click.echo(f"{each.name:<14} {each.question}")
        return
    try:
        if batch is not None:
            _run_batch(batch, units)
        elif name is None:
            raise InputError.of("calculation", None, "is missing; see floorwright calc --list")
        elif schema:
            click.echo(json.dumps(catalogue.calculation(name).schema(), indent=2, ensure_ascii=False))
        elif file is None:
            catalogue.calculation(name)
            raise InputError.of(
                "file", None, f"is missing; write floorwright calc {name} FILE.json, or - to type it"
            )
        elif target is not None:
            given = read_json(_read(file))
            headings, lines = outcome_table(given, catalogue.calculation(name)(given), units)
            click.echo(f"{target}: {write_table(target, headings, lines, sheet=name):,} rows")
        else:
            _print(name, catalogue.calculation(name)(read_json(_read(file))), units, explain=explain)
    except InputError as error:
        click.echo(json.dumps(error.to_record(), ensure_ascii=False))
        click.echo(" ".join(str(error).split()), err=True)
        ctx.exit(2)


def _print(name: str, outcome: Outcome, units: UnitSystem, *, explain: bool) -> None:
    if not explain:
        click.echo(json.dumps(outcome.to_record(name, units), ensure_ascii=False, indent=2))
        return
    click.echo(working_text(outcome.working, [f"{id_}: {source(id_).text()}" for id_ in outcome.sources]))
    for check in outcome.checks:
        click.echo(f"\nCheck {check.name} ({check.case}): {check.verdict}. {check.sentence}")
    for warning in outcome.warnings:
        click.echo(f"\nNote: {warning}")


def _read(file: Path) -> str:
    try:
        data = sys.stdin.buffer.read() if str(file) == "-" else file.read_bytes()
    except OSError as error:
        raise InputError.of(
            "file", str(file), f"cannot be read ({error.strerror}); give a JSON file or -"
        ) from None
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise InputError.of("file", str(file), "is not UTF-8 text; save it as UTF-8 JSON") from None


def _run_batch(file: Path, units: UnitSystem) -> None:
    for answer in _answers(_read(file), units):
        click.echo(json.dumps(answer, ensure_ascii=False))


def _answers(text: str, units: UnitSystem) -> Iterator[dict[str, Any]]:
    # Split on line feeds alone: str.splitlines would also break inside strings at U+2028.
    lines = text.split("\n")
    if lines and not lines[-1].strip():
        lines.pop()
    for line in lines:
        try:
            yield _answer(read_json(line), units)
        except InputError as error:
            yield error.to_record()
        except FloorwrightError as error:
            yield InputError.of("input", None, str(error)).to_record()


def _answer(task: Any, units: UnitSystem) -> dict[str, Any]:
    if not isinstance(task, dict) or not isinstance(task.get("calculation"), str):
        raise InputError.of("calculation", None, 'is missing; a line is {"calculation": NAME, "input": {...}}')
    if unknown := [name for name in task if name not in ("calculation", "input")]:
        problems = [
            Problem(name, task[name], "is not known here; a line has calculation and input") for name in unknown
        ]
        raise InputError(problems)
    found = catalogue.calculation(task["calculation"])
    return found(task.get("input", {})).to_record(found.name, units)
