"""The `floorwright` command and its subcommands, each loaded when it is called."""

from __future__ import annotations

import sys
from importlib import import_module
from typing import Any, Final

import click

from floorwright import __version__
from floorwright.basis.errors import FloorwrightError, InputError

_COMMANDS: Final = {
    "demo": ("floorwright.cli.demo:demo", "Build the demo shop and run the whole job on it."),
    "new": ("floorwright.cli.shop:new", "Make a new shop folder."),
    "improvement": ("floorwright.cli.improvement:improvement", "Add, show, list and move on improvements."),
    "study": ("floorwright.cli.study:study", "Plan a study, see what it says, ask how many more."),
    "import": ("floorwright.cli.exchange:import_", "Look at a file of observations, then store it."),
    "prove": ("floorwright.cli.prove:prove", "Compare before and after, with a verdict in words."),
    "ledger": ("floorwright.cli.prove:ledger", "Gains banked, freed and hoped; no minute counted twice."),
    "due": ("floorwright.cli.prove:due", "What needs someone next, with dates."),
    "report": ("floorwright.cli.report:report", "Print an improvement, or the shop, on one page."),
    "photo": ("floorwright.cli.photo:photo", "Add, mask and remove photos."),
    "export": ("floorwright.cli.exchange:export", "Write observations, improvements or the ledger as CSV or XLSX."),
    "backup": ("floorwright.cli.shop:backup", "Copy the shop into one file, while it is in use."),
    "restore": ("floorwright.cli.shop:restore", "Make a shop folder from a backup."),
    "calc": ("floorwright.cli.calc:calc", "Run one calculation by name: JSON in, JSON out."),
}


class Commands(click.Group):
    """A group that imports a subcommand only when it is called, so that every command starts quickly."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Names in the order of the job."""
        return list(_COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Import and return a subcommand."""
        if cmd_name not in _COMMANDS:
            return None
        module, attribute = _COMMANDS[cmd_name][0].split(":")
        command = getattr(import_module(module), attribute)
        return command if isinstance(command, click.Command) else None

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """List the commands without importing any."""
        with formatter.section("Commands"):
            formatter.write_dl([(name, text) for name, (_, text) in _COMMANDS.items()])

    def invoke(self, ctx: click.Context) -> Any:
        """Turn the project's own errors into one sentence and exit status 2."""
        try:
            return super().invoke(ctx)
        except InputError as error:
            for problem in error.problems:
                click.echo(problem.sentence(), err=True)
        except FloorwrightError as error:
            click.echo(str(error), err=True)
        return ctx.exit(2)


@click.group(cls=Commands, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(__version__, prog_name="floorwright")
def floorwright() -> None:
    """Measure shop-floor waste, prove that a fix helped, say what it is worth, and hold the gain.

    Start with: floorwright demo
    """


def main() -> None:
    """Entry point; text leaves in UTF-8 wherever the terminal allows it."""
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            # A terminal with an older encoding shows a question mark rather than stopping half way.
            reconfigure(encoding="utf-8" if not stream.isatty() else None, errors="replace")
    floorwright.main(prog_name="floorwright")
