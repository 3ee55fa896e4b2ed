"""`floorwright aid`: shop aids from a spec: list, example, check, draw, sheet, save."""

from __future__ import annotations

import datetime as dt
import json
from pathlib import Path

import click

from floorwright.basis.errors import InputError
from floorwright.basis.quantity import MASS, Quantity, UnitSystem
from floorwright.basis.sources import source
from floorwright.basis.working import working_text
from floorwright.cli.common import (
    author,
    author_options,
    json_option,
    opened,
    print_json,
    settings_of,
    shop_argument,
    write_files,
)
from floorwright.cli.screen import plain
from floorwright.draw.aid_views import views
from floorwright.exchange.dxf_drawing import dxf
from floorwright.exchange.gltf import glb
from floorwright.exchange.improvement_file import read_toml
from floorwright.exchange.step import step
from floorwright.propose.aid.design import Design, design
from floorwright.propose.aid.record import design_record, design_text, overall, sources_of
from floorwright.propose.aid.registry import PATTERNS, pattern_of
from floorwright.report.aid_drawing import AidDrawing, drawing_pdf
from floorwright.report.aid_sheet import sheet_pdf
from floorwright.report.page import Paper
from floorwright.shop.aids import keep_aid

spec_argument = click.argument("spec", type=click.Path(path_type=Path, dir_okay=False))
units_option = click.option(
    "--units", type=click.Choice(["us", "si"]), default="us", show_default=True, help="Units of the answer."
)


@click.group(
    epilog="Examples:\n\n\b\n  floorwright aid list\n  floorwright aid example panel_cart --to cart.toml\n"
    "  floorwright aid check cart.toml\n  floorwright aid check cart.toml --explain\n"
    "  floorwright aid draw cart.toml --to drawings\n  floorwright aid sheet cart.toml --to cart-sheet.pdf\n"
    "  floorwright aid save my-shop 7 cart.toml"
)
def aid() -> None:
    """Design carts, racks and stands, and see why they hold or do not."""


@aid.command("list", epilog="Example:\n\n\b\n  floorwright aid list")
def list_() -> None:
    """The patterns, one line each."""
    for pattern in PATTERNS.values():
        click.echo(f"{pattern.name:<18} {pattern.question}")


@aid.command(
    epilog="Examples:\n\n\b\n  floorwright aid example bar_cart\n  floorwright aid example bar_cart --to bars.toml"
)
@click.argument("pattern")
@click.option("--to", type=click.Path(path_type=Path, dir_okay=False), help="Write it to this file instead.")
def example(pattern: str, to: Path | None) -> None:
    """Print a spec with comments for PATTERN, to start from."""
    text = pattern_of({"pattern": pattern}).example.strip() + "\n"
    if to is None:
        click.echo(text, nl=False)
        return
    if to.exists():
        raise InputError.of("--to", str(to), "is there already; choose another name, or take it away first")
    for path in write_files(to.parent, {to.name: text.encode()}):
        click.echo(str(path))


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


@aid.command(
    epilog="Examples:\n\n\b\n  floorwright aid draw cart.toml --to drawings\n"
    "  floorwright aid draw cart.toml --to drawings --units si --paper a4 --show 'divider 1 post near'"
)
@spec_argument
@units_option
@click.option(
    "--to", "folder", type=click.Path(path_type=Path, file_okay=False), default=Path(), help="Folder for the files."
)
@click.option("--paper", type=click.Choice(["letter", "a4"]), default="letter", show_default=True)
@click.option("--show", default="", help="Name of the part, wheel or piece that stands out in the views.")
def draw(spec: Path, units: UnitSystem, folder: Path, paper: Paper, show: str) -> None:
    """Draw the aid in SPEC: four views (SVG), a sheet (PDF), DXF, and solids (STEP, GLB)."""
    found = design(read_toml(spec), units)
    scene = found.proposal().scene
    sheet = AidDrawing(
        title=found.spec.title,
        scene=scene,
        parts=found.proposal().parts,
        date=dt.datetime.now().astimezone().date().isoformat(),
        system=units,
        paper=paper,
    )
    files: dict[str, bytes] = {
        f"{spec.stem}-{name}.svg": text.encode() for name, text in views(scene, units, show).items()
    }
    files |= {
        f"{spec.stem}.pdf": drawing_pdf(sheet),
        f"{spec.stem}.dxf": dxf(scene, units),
        f"{spec.stem}.step": step(scene, name=found.spec.title),
        f"{spec.stem}.glb": glb(scene),
    }
    for path in write_files(folder, files):
        click.echo(str(path))


@aid.command(
    epilog="Examples:\n\n\b\n  floorwright aid sheet cart.toml --to cart-sheet.pdf\n"
    "  floorwright aid sheet cart.toml --to cart-sheet.pdf --shop 'Alder Hollow' --units si --paper a4"
)
@spec_argument
@units_option
@click.option("--to", type=click.Path(path_type=Path, dir_okay=False), required=True, help="The PDF to write.")
@click.option("--paper", type=click.Choice(["letter", "a4"]), default="letter", show_default=True)
@click.option("--shop", default="", help="Name of the shop, for the head of the sheet.")
def sheet(spec: Path, units: UnitSystem, to: Path, paper: Paper, shop: str) -> None:
    """Write the calculation sheet of the aid in SPEC (PDF), for an engineer to check and sign.

    Every load, check and formula with its source; a sheet of an aid that fails says so on its first page.
    """
    found = design(read_toml(spec), units)
    today = dt.datetime.now().astimezone().date()
    for path in write_files(to.parent, {to.name: sheet_pdf(found, shop=shop, date=today, paper=paper)}):
        click.echo(str(path))


@aid.command(
    epilog="Examples:\n\n\b\n  floorwright aid save my-shop 7 cart.toml\n"
    "  floorwright aid save my-shop 7 cart.toml --json"
)
@shop_argument
@click.argument("number", type=int)
@spec_argument
@author_options
@json_option
def save(shop: Path, number: int, spec: Path, who: str | None, role: str, as_json: bool) -> None:
    """Check the aid in SPEC (TOML) and keep it as the design of improvement NUMBER of SHOP.

    It takes the place of the design that was there; `improvement undo` takes it back. One that fails is kept too,
    with its verdict, and is not rated.
    """
    raw = read_toml(spec)
    with opened(shop) as found:
        filed = keep_aid(found, number, raw, author(who, role))
        kept, units = filed.record.proposal, settings_of(found).units
    if as_json or kept is None:
        print_json({"number": filed.id, "version": filed.version, "proposal": kept})
        return
    click.echo(f"Improvement {filed.id}, version {filed.version}: {plain(kept.title)}")
    click.echo(f"Checks: {kept.verdict} ({', '.join(f'{n} {name}' for name, n in kept.counts.items() if n)}).")
    if kept.first:
        click.echo(f"First: {plain(kept.first)}")
    rated = "withheld" if kept.rated_kg is None else Quantity(kept.rated_kg, MASS).text(units)
    click.echo(f"Working load: {rated}.")


def _workings(found: Design) -> str:
    texts = [working_text(working) for working in found.workings]
    named = [f"  {each}: {source(each).text()}" for each in sources_of(found)]
    return "\n\n" + "\n\n".join([*texts, "\n".join(["Sources", *named])])
