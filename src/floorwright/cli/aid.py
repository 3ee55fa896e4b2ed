"""`floorwright aid`: shop aids from a spec: list, example, check, draw."""

from __future__ import annotations

import json
from pathlib import Path

import click

from floorwright.basis.errors import InputError
from floorwright.basis.quantity import UnitSystem
from floorwright.basis.sources import source
from floorwright.basis.working import working_text
from floorwright.exchange.improvement_file import read_toml
from floorwright.propose.aid.design import Design, design
from floorwright.propose.aid.record import design_record, design_text, overall, sources_of
from floorwright.propose.aid.registry import PATTERNS, pattern_of

spec_argument = click.argument("spec", type=click.Path(path_type=Path, dir_okay=False))
units_option = click.option(
    "--units", type=click.Choice(["us", "si"]), default="us", show_default=True, help="Units of the answer."
)


@click.group(
    epilog="Examples:\n\n\b\n  floorwright aid list\n  floorwright aid example panel_cart > cart.toml\n"
    "  floorwright aid check cart.toml\n  floorwright aid check cart.toml --explain"
)
def aid() -> None:
    """Design carts, racks and stands, and see why they hold or do not."""


@aid.command("list", epilog="Example:\n\n\b\n  floorwright aid list")
def list_() -> None:
    """The patterns, one line each."""
    for pattern in PATTERNS.values():
        click.echo(f"{pattern.name:<18} {pattern.question}")


@aid.command(epilog="Example:\n\n\b\n  floorwright aid example bar_cart > bars.toml")
@click.argument("pattern")
def example(pattern: str) -> None:
    """Print a spec with comments for PATTERN, to start from."""
    click.echo(pattern_of({"pattern": pattern}).example.strip())


@aid.command(
    epilog="Examples:\n\n\b\n  floorwright aid check cart.toml\n  floorwright aid check cart.toml --json --units si"
)
@spec_argument
@units_option
@click.option("--json", "as_json", is_flag=True, help="Print JSON for a script.")
@click.option("--explain", is_flag=True, help="The working of every check, step by step.")
@click.pass_context
def check(ctx: click.Context, spec: Path, units: UnitSystem, as_json: bool, explain: bool) -> None:
    """Lay out the aid in SPEC (TOML) and check it in every state of loading.

    Exits with 1 when a check fails or is unknown, so that a script can tell.
    """
    try:
        found = design(read_toml(spec), units)
    except InputError as error:
        if as_json:
            click.echo(json.dumps(error.to_record(), ensure_ascii=False))
        raise
    if as_json:
        click.echo(json.dumps(design_record(found, units), ensure_ascii=False, indent=2))
    else:
        click.echo(design_text(found, units))
        if explain:
            click.echo(_workings(found))
    ctx.exit(0 if overall(found) in ("ok", "close") else 1)


def _workings(found: Design) -> str:
    texts = [working_text(working) for working in found.workings]
    named = [f"  {each}: {source(each).text()}" for each in sources_of(found)]
    return "\n\n" + "\n\n".join([*texts, "\n".join(["Sources", *named])])
