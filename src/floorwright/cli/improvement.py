"""`floorwright improvement`: add, show, list, change, undo, note, approve, drop, history."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Any

import click

from floorwright import bootstrap
from floorwright.basis.errors import InputError, Problem
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
from floorwright.cli.improvement_telling import change_text, field_text, story_facts
from floorwright.cli.screen import facts, paragraph, plain, table
from floorwright.exchange.for_programs import history_json, improvement_json
from floorwright.exchange.improvement_file import ImprovementFile, measures_in_si, read_improvement, smallest_in_si
from floorwright.shop import improvements as use
from floorwright.shop.filed import Filed, checked
from floorwright.shop.ports import Shop
from floorwright.shop.records import Improvement, MeasureKind, Phase, Waste
from floorwright.shop.showing import measure_text
from floorwright.shop.story import story
from floorwright.shop.views import SORTS, filter_of, listed

number_argument = click.argument("number", type=int)


@click.group()
def improvement() -> None:
    """Improvements: from the waste somebody saw to the gain that holds."""


@improvement.command(
    epilog="Examples:\n\n\b\n  floorwright improvement add my-shop --title 'Clamps are fetched from afar' \\\n"
    "      --waste walking --area Welding --question 'How long do we walk for clamps?'\n"
    "  floorwright improvement add my-shop --file clamps.toml"
)
@shop_argument
@click.option("--title", help="Short name of what was seen.")
@click.option("--waste", type=click.Choice([each.value for each in Waste]), help="Kind of waste.")
@click.option("--area", help="Area of the shop.")
@click.option("--noticed-by", help="Who saw it [default: --who].")
@click.option("--on", type=click.DateTime(["%Y-%m-%d"]), help="When [default: today].")
@click.option("--question", default="", help="What the shop wants to know, one sentence.")
@click.option("--set", "sets", multiple=True, metavar="FIELD=VALUE", help="Any other field; may be repeated.")
@click.option("--file", type=click.Path(path_type=Path, dir_okay=False), help="From a TOML file, with its studies.")
@click.option("--again", is_flag=True, help="With --file: also when the shop has an improvement like it.")
@author_options
@json_option
def add(
    shop: Path,
    title: str | None,
    waste: str | None,
    area: str | None,
    noticed_by: str | None,
    on: dt.datetime | None,
    question: str,
    sets: tuple[str, ...],
    file: Path | None,
    again: bool,
    who: str | None,
    role: str,
    as_json: bool,
) -> None:
    """Add an improvement to SHOP: what was seen, where, and what kind of waste it is."""
    with opened(shop) as found:
        if file is not None:
            filed = _from_file(found, file, again=again, quiet=as_json)
        else:
            by = author(who, role)
            day = on.date() if on is not None else found.clock.now().date()
            raw: dict[str, Any] = {
                "title": title,
                "waste": waste,
                "area": area,
                "noticed_by": noticed_by or by.who,
                "noticed_on": day.isoformat(),
                "question": question,
            }
            raw = {name: value for name, value in raw.items() if value is not None}
            filed = use.add_improvement(found, raw | measures_in_si(assignments(sets, Improvement)), by)
        if as_json:
            print_json({"number": filed.id, "version": filed.version})
            return
        click.echo(f"Improvement {filed.id}: {plain(filed.record.title)}")
        click.echo(f"Next: {story(found, filed.id).next_step}")


def _from_file(shop: Shop, file: Path, *, again: bool, quiet: bool) -> Filed[Improvement]:
    """File an improvement file, all of it or nothing, and then say what was done."""
    done: list[str] = []
    try:
        read = read_improvement(file)
        if not again:
            _not_there_yet(shop, file.name, read)
        filed = bootstrap.add_from_file(shop, read, file.parent, done.append)
    except InputError as error:
        raise InputError([*error.problems, Problem("", None, f"Nothing of {file.name} is stored")]) from None
    for line in done if not quiet else ():
        click.echo(line)
    return filed


def _not_there_yet(shop: Shop, name: str, read: ImprovementFile) -> None:
    """A file that is added twice by mistake would count its gain twice.

    Raises:
        InputError: the shop has an improvement with this title, in this area, noticed on this day.
    """
    first = checked(Improvement, read.first)
    for each in use.overviews(shop):
        held = each.filed.record
        if (held.title, held.area, held.noticed_on) == (first.title, first.area, first.noticed_on):
            raise InputError.of(
                "--file",
                name,
                f"{name} tells what improvement {each.filed.id} tells: '{held.title}', {held.area}, noticed on "
                f"{held.noticed_on}; change that one, or give --again to add it a second time",
            )


@improvement.command(
    name="list",
    epilog="Examples:\n\n\b\n  floorwright improvement list my-shop --phase check\n"
    "  floorwright improvement list my-shop --area Welding --sort changed --down",
)
@shop_argument
@click.option("--phase", type=click.Choice([each.value for each in Phase]), help="Only those in this phase.")
@click.option("--waste", type=click.Choice([each.value for each in Waste]), help="Only this kind of waste.")
@click.option("--area", default="", help="Only this area.")
@click.option("--search", default="", help="Only those that hold all of these words.")
@click.option("--sort", type=click.Choice(SORTS), default="number", show_default=True, help="In which order.")
@click.option("--down", is_flag=True, help="From large to small, from Z to A, from new to old.")
@json_option
def list_(shop: Path, down: bool, as_json: bool, **given: Any) -> None:
    """List the improvements of SHOP with their phase and next step."""
    fields = {name: value for name, value in given.items() if value}
    wanted = filter_of(fields | {"direction": "down" if down else "up"})
    with opened(shop) as found:
        rows = listed(found, wanted)
    if as_json:
        print_json([improvement_json(each) for each in rows])
        return
    if not rows:
        found_none = "No improvement yet." if wanted.everything else "No improvement matches."
        click.echo(f"{found_none} Add one with: floorwright improvement add {shop} --title ...")
        return
    lines = [
        [
            str(each.filed.id),
            each.phase.value,
            each.filed.record.waste.value,
            each.filed.record.title,
            each.next_step,
        ]
        for each in rows
    ]
    click.echo(table(["no.", "phase", "waste", "title", "next step"], lines, right="a", wrap="de"))


@improvement.command(epilog="Example:\n\n\b\n  floorwright improvement show my-shop 3")
@shop_argument
@number_argument
@json_option
def show(shop: Path, number: int, as_json: bool) -> None:
    """Show improvement NUMBER of SHOP from what was seen to what holds it."""
    with opened(shop) as found:
        each = story(found, number)
    if as_json:
        print_json(improvement_json(each))
        return
    click.echo(facts({str(number): each.record.title}))
    click.echo(facts(story_facts(each), indent="   "))


@improvement.command(
    epilog="Examples:\n\n\b\n  floorwright improvement change my-shop 3 --set events_per_year=9800\n"
    "  floorwright improvement change my-shop 3 --set 'use_of_time=overtime avoided'\n"
    "  floorwright improvement change my-shop 3 --set cost.building_hours=9 --set cost.material=84.50\n"
    "  floorwright improvement change my-shop 3 --set area=Assembly --corrects --reason 'wrong bay'"
)
@shop_argument
@number_argument
@click.option(
    "--set", "sets", multiple=True, required=True, metavar="FIELD=VALUE", help="A field; may be repeated."
)
@click.option("--corrects", is_flag=True, help="It corrects what stood there; say why with --reason.")
@click.option("--reason", default="", help="Why.")
@author_options
def change(
    shop: Path, number: int, sets: tuple[str, ...], corrects: bool, reason: str, who: str | None, role: str
) -> None:
    """Change fields of improvement NUMBER; what stood there before stays in its history."""
    with opened(shop) as found:
        fields = measures_in_si(assignments(sets, Improvement))
        filed = use.change_improvement(found, number, fields, author(who, role), reason=reason, corrects=corrects)
    click.echo(f"Improvement {filed.id} is now at version {filed.version}.")


@improvement.command(epilog="Example:\n\n\b\n  floorwright improvement undo my-shop 3 5")
@shop_argument
@number_argument
@click.argument("version", type=int)
@author_options
def undo(shop: Path, number: int, version: int, who: str | None, role: str) -> None:
    """Take back what VERSION changed in improvement NUMBER; all else stays, and the history keeps both."""
    with opened(shop) as found:
        filed = use.undo_change(found, number, version, author(who, role))
    click.echo(f"Version {version} of improvement {number} is taken back; it is now at version {filed.version}.")


@improvement.command(
    epilog="Examples:\n\n\b\n  floorwright improvement measure my-shop 3 'fetch clamps' times --smallest '5 s' \\\n"
    "      --saves-time\n"
    "  floorwright improvement measure my-shop 3 'scratched panels' counts --per panel --smallest 0.03"
)
@shop_argument
@number_argument
@click.argument("name")
@click.argument("kind", type=click.Choice([each.value for each in MeasureKind]))
@click.option("--smallest", help="Smallest change worth having, with its unit, such as '5 s' or '20 ft'.")
@click.option("--better", type=click.Choice(["lower", "higher"]), default="lower", show_default=True)
@click.option("--per", default="", help="What counts are counted over, or what a time is divided by.")
@click.option("--element", default="", help="For times: the element that is compared.")
@click.option("--planned-after", type=int, help="Number of readings after the change, fixed beforehand.")
@click.option("--paired", is_flag=True, help="Reading i after is of the same job as reading i before.")
@click.option("--saves-time", is_flag=True, help="Its seconds are the ones that the ledger counts.")
@click.option("--reason", default="", help="Why it is changed when readings are in already.")
@author_options
def measure(
    shop: Path,
    number: int,
    name: str,
    kind: str,
    smallest: str | None,
    reason: str,
    who: str | None,
    role: str,
    **more: Any,
) -> None:
    """Say what improvement NUMBER measures: NAME in the words of the floor, and its KIND.

    Say it before you look at any number. A measure of this name is changed, another one is added.
    """
    fields = {"name": name, "kind": kind, **more}
    if smallest is not None:
        fields["smallest_that_matters"] = smallest_in_si(MeasureKind(kind), smallest, "--smallest")
    with opened(shop) as found:
        old = use.improvement(found, number)
        others = [each for each in old.record.model_dump(mode="json")["measures"] if each["name"] != name.strip()]
        names = [each.name for each in old.record.measures]
        place = names.index(name.strip()) if name.strip() in names else len(names)
        measures = [*others[:place], fields, *others[place:]]
        filed = use.change_improvement(
            found, number, {"measures": measures}, author(who, role), reason=reason, expected_version=old.version
        )
        system = settings_of(found).units
    click.echo(f"Improvement {number} measures {measure_text(filed.record.measures[place], system)}.")


@improvement.command(epilog="Example:\n\n\b\n  floorwright improvement note my-shop 3 'Wheels catch on the drain'")
@shop_argument
@number_argument
@click.argument("text")
@author_options
def note(shop: Path, number: int, text: str, who: str | None, role: str) -> None:
    """Add a note from the trial of improvement NUMBER."""
    if not text.strip():
        raise InputError.of("TEXT", text, "is missing; write what was seen on trial")
    by = author(who, role)
    with opened(shop) as found:
        use.add_note(found, number, text, by)
    click.echo(f"Noted with improvement {number}.")


@improvement.command(
    epilog="Example:\n\n\b\n  floorwright improvement approve my-shop 3 --by 'R. Moss' --role 'shop lead'\n"
    "  floorwright improvement approve my-shop 3 --safety --by 'T. Bell' --role 'safety officer'"
)
@shop_argument
@number_argument
@click.option("--by", required=True, help="Who approves.")
@click.option("--role", required=True, help="In which role.")
@click.option("--on", type=click.DateTime(["%Y-%m-%d"]), help="When [default: today].")
@click.option(
    "--safety", is_flag=True, help="It is the safety sign-off, which comes first where there are cautions."
)
def approve(shop: Path, number: int, by: str, role: str, on: dt.datetime | None, safety: bool) -> None:
    """Approve improvement NUMBER for use after its trial."""
    with opened(shop) as found:
        day = on.date() if on is not None else found.clock.now().date()
        field = "safety_approval" if safety else "approval"
        fields = {field: {"by": by, "role": role, "on": day.isoformat()}}
        use.change_improvement(found, number, fields, author(by, role), reason=f"{field.replace('_', ' ')}")
    click.echo(f"Approved{' for safety' if safety else ''} by {by} ({role}) on {day}.")


@improvement.command(epilog="Example:\n\n\b\n  floorwright improvement drop my-shop 3 'The line is going anyway'")
@shop_argument
@number_argument
@click.argument("reason")
@author_options
def drop(shop: Path, number: int, reason: str, who: str | None, role: str) -> None:
    """Drop improvement NUMBER and say why; nothing of it is lost."""
    if not reason.strip():
        raise InputError.of(
            "REASON", reason, "is missing; say why it is dropped, so that nobody tries it again blindly"
        )
    with opened(shop) as found:
        use.change_improvement(found, number, {"dropped": reason}, author(who, role), reason=reason)
    click.echo(f"Improvement {number} is dropped: {plain(reason)}")


@improvement.command(epilog="Example:\n\n\b\n  floorwright improvement history my-shop 3")
@shop_argument
@number_argument
@json_option
def history(shop: Path, number: int, as_json: bool) -> None:
    """Who changed what in improvement NUMBER, when and why."""
    with opened(shop) as found:
        entries = use.history(found, number)
    if as_json:
        print_json(history_json(entries))
        return
    for entry in entries:
        role = f" ({entry.role})" if entry.role else ""
        corrects = f", corrects version {entry.replaces}" if entry.replaces else ""
        reason = f": {entry.reason}" if entry.reason else ""
        head = f"version {entry.version}  {entry.at:%Y-%m-%d %H:%M}  {entry.who}{role}{corrects}{reason}"
        click.echo(paragraph(head))
        if entry.version > 1:
            for each in entry.changes:
                click.echo(f"    {field_text(each.path)}: {change_text(each.before)} -> {change_text(each.after)}")
