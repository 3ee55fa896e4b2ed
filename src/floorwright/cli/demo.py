"""`floorwright demo`: the demo shop, built from the plain files that come with the package."""

from __future__ import annotations

import contextlib
import datetime as dt
import os
import shutil
import sys
from importlib import resources
from pathlib import Path
from typing import Final

import click

from floorwright import bootstrap
from floorwright.basis.errors import StoreError
from floorwright.cli.prove import ledger_text
from floorwright.cli.report import write_reports
from floorwright.cli.screen import table
from floorwright.cli.telling import told
from floorwright.exchange.distances import read_distances
from floorwright.exchange.improvement_file import ImprovementFile, read_improvement, read_settings
from floorwright.exchange.table import read_table
from floorwright.shop.improvements import add_improvement
from floorwright.shop.ports import Author, Shop
from floorwright.shop.story import stories

TODAY: Final = dt.date(2026, 11, 20)  # the day on which the demo's story is told
MARK: Final = "demo-shop.txt"


class StoryClock:
    """A clock that is set to the day on which something in the demo happened."""

    def __init__(self) -> None:
        self.day = dt.date(2026, 6, 1)

    def now(self) -> dt.datetime:
        """Eight in the morning of that day."""
        return dt.datetime.combine(self.day, dt.time(8))


@click.command(epilog="Examples:\n\n\b\n  floorwright demo\n  floorwright demo somewhere/demo")
@click.argument("folder", type=click.Path(path_type=Path, file_okay=False), default=Path("floorwright-demo"))
@click.option("--no-pages", is_flag=True, help="Leave out the printed pages.")
def demo(folder: Path, no_pages: bool) -> None:
    """Build the demo shop in FOLDER, run the whole job on it, and say what to try next.

    A demo that is already in FOLDER is built anew; a folder with anything else in it is left alone.
    """
    shop = build(folder, say=lambda line: click.echo(f"  {line}"))
    try:
        click.echo()
        found = stories(shop)
        for story in found:
            click.echo(told(story))
            click.echo()
        click.echo(ledger_text(shop))
        pages = [] if no_pages else write_reports(shop, folder / "pages")
    finally:
        shop.close()
    if pages:
        click.echo("\nPrinted pages")
        rows = [[path.name, f"{path.stat().st_size / 1024:,.0f} kB"] for path in pages]
        click.echo(table(["file", "size"], rows, indent="  ", right="b"))
        click.echo(f"  in {(folder / 'pages').resolve()}")
    click.echo("\nTry next")
    program, place = _program(), _shown(folder / "shop")
    for command in (
        f"improvement show {place} 1",
        f"prove {place} 1 --explain",
        f"study show {place} 1",
        f"due {place}",
        "calc --list",
        "new my-shop --name 'Our shop' --area Welding",
    ):
        click.echo(f"  {program} {command}")


def _program() -> str:
    """How the command is called from here: by its name where that is found, else by its path."""
    own = Path(sys.executable).with_name("floorwright.exe" if os.name == "nt" else "floorwright")
    found = shutil.which("floorwright")
    if not own.exists() or (found is not None and Path(found).resolve() == own.resolve()):
        return "floorwright"
    return _shown(own)


def _shown(path: Path) -> str:
    """A path as one types it here: relative where that is shorter, quoted where it holds spaces."""
    with contextlib.suppress(ValueError):
        path = path.absolute().relative_to(Path.cwd())
    return f'"{path}"' if " " in str(path) else str(path)


def build(folder: Path, say: bootstrap.Say) -> Shop:
    """Make the demo shop under a folder and return it, open, with the clock on the demo's own day.

    Raises:
        StoreError: the folder holds something that is no demo.
    """
    try:
        _clear(folder)
        folder.mkdir(parents=True, exist_ok=True)
        (folder / MARK).write_text("This folder holds the floorwright demo; it is built anew each time.\n", "utf-8")
    except OSError as error:
        reason = error.strerror or str(error)
        raise StoreError(
            f"{folder} cannot be used ({reason}); close what is open in it, or name another."
        ) from None
    source = demo_files()
    clock = StoryClock()
    settings = read_settings(source / "shop.toml")
    distances = read_distances(read_table(source / "distances.csv"))
    settings = settings.model_copy(update={"distances_m": distances})
    say(f"{settings.name}: {settings.people} people, {', '.join(settings.areas)}")
    shop = bootstrap.new_shop(folder / "shop", settings, Author(who="demo", role="set-up"), clock)
    files = [(path, read_improvement(path)) for path in sorted(source.glob("improvements/*/improvement.toml"))]
    _replay(shop, clock, files, say)
    clock.day = TODAY
    return shop


def _replay(shop: Shop, clock: StoryClock, files: list[tuple[Path, ImprovementFile]], say: bootstrap.Say) -> None:
    """Let everything happen in the order of its days, so that the history reads as it would in a real shop."""
    numbers: dict[Path, int] = {}
    for path, file in sorted(files, key=lambda pair: pair[0]):
        clock.day = dt.date.fromisoformat(str(file.first["noticed_on"]))
        numbers[path] = add_improvement(shop, file.first, Author(who=file.who, role=file.role)).id
    events = [
        (bootstrap.day_of(event), path, file, event) for path, file in files for event in bootstrap.in_order(file)
    ]
    for day, path, file, event in sorted(events, key=lambda entry: (entry[0], entry[1])):
        clock.day = max(day, dt.date.fromisoformat(str(file.first["noticed_on"])))
        author = Author(who=file.who, role=file.role)
        bootstrap.tell(shop, numbers[path], event, path.parent, say, author)


def _clear(folder: Path) -> None:
    """Make room for a new demo; what is not the demo's own is never touched."""
    if not folder.exists():
        return
    held = {path.name for path in folder.iterdir()}
    if held and (MARK not in held or held - {MARK, "shop", "pages"}):
        raise StoreError(f"{folder} holds something else; give an empty folder or a new name for the demo.")
    for path in (folder / "shop", folder / "pages"):
        if path.exists():
            shutil.rmtree(path)


def demo_files() -> Path:
    """Where the demo's plain files lie: in the installed package, or in the checkout."""
    packaged = Path(str(resources.files("floorwright"))) / "_demo"
    return packaged if packaged.is_dir() else Path(__file__).resolve().parents[3] / "demo"
