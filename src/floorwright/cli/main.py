"""The `floorwright` command and its subcommands, each loaded when it is called."""

from __future__ import annotations

import os
import re
import sys
import tempfile
import traceback
from collections.abc import Callable, Sequence
from importlib import import_module
from typing import Any, Final

import click

from floorwright import __version__
from floorwright.basis.errors import FloorwrightError, InputError
from floorwright.cli.screen import plain

_COMMANDS: Final = {
    "demo": ("floorwright.cli.demo:demo", "Build the demo shop and run the whole job on it."),
    "serve": ("floorwright.cli.serve:serve", "The browser app, on this computer and for phones."),
    "new": ("floorwright.cli.shop:new", "Make a new shop folder."),
    "settings": ("floorwright.cli.settings:settings", "Rates, areas, stations, distances, units, paper."),
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
    "device": ("floorwright.cli.device:device", "Pair phones with the shop, name them, shut them out."),
    "account": ("floorwright.cli.account:account", "People who sign in with a name and a password."),
    "token": ("floorwright.cli.token:token", "Keys for programs and calendars."),
    "aid": ("floorwright.cli.aid:aid", "Design carts, racks and stands: will it hold, roll and stay upright?"),
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

    def main(
        self,
        args: Sequence[str] | None = None,
        prog_name: str | None = None,
        complete_var: str | None = None,
        standalone_mode: bool = True,
        **extra: Any,
    ) -> Any:
        """Run a command; whatever goes wrong leaves in one sentence, with the exit status that says so."""

        def run() -> Any:
            return super(Commands, self).main(args, prog_name, complete_var, standalone_mode=False, **extra)

        return sys.exit(_status(run)) if standalone_mode else run()


def _status(run: Callable[[], Any]) -> int:
    """The exit status of a command: 0, 2 where what was given cannot be used, 1 for a fault of the program."""
    try:
        found = run()
    except InputError as error:
        return _say(2, *(problem.sentence() for problem in error.problems))
    except FloorwrightError as error:
        return _say(2, str(error))
    except click.exceptions.NoArgsIsHelpError as error:
        click.echo(error.format_message(), err=True)
        return 2
    except click.UsageError as error:
        return _say(2, _usage_sentence(error))
    except click.ClickException as error:
        return _say(2, error.format_message())
    except click.Abort:
        return _say(130, "Stopped.")
    except Exception:
        if os.environ.get("FLOORWRIGHT_TRACE"):
            raise
        return _say(1, _keep_trace())
    return found if isinstance(found, int) else 0


def _say(status: int, *sentences: str) -> int:
    for sentence in sentences:
        click.echo(plain(sentence), err=True)
    return status


def _usage_sentence(error: click.UsageError) -> str:
    said = error.format_message().strip().rstrip(".")
    if isinstance(error, click.NoSuchOption) and re.fullmatch(r"-\d.*", error.option_name):
        said = f"'{error.option_name}' is below zero, or an option that is not known"
    command = error.ctx.command_path if error.ctx is not None else "floorwright"
    return f"{said[:1].upper()}{said[1:]}{' See' if said.endswith('?') else '; see'} {command} --help."


def _keep_trace() -> str:
    """Write the traceback of the error at hand into a file and say where it is."""
    with tempfile.NamedTemporaryFile(
        "w", prefix="floorwright-", suffix=".txt", delete=False, encoding="utf-8", errors="replace"
    ) as file:
        file.write(f"floorwright {__version__}, Python {sys.version}, {sys.platform}\n{traceback.format_exc()}")
    return f"A fault of the program stopped this; what happened is written down in {file.name}."


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
