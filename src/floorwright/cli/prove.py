"""`floorwright prove`, `ledger` and `due`."""

from __future__ import annotations

from pathlib import Path

import click

from floorwright.basis.sources import source
from floorwright.basis.working import working_text
from floorwright.cli.common import json_option, opened, print_json, shop_argument, table
from floorwright.cli.telling import as_json as story_json
from floorwright.cli.telling import told
from floorwright.shop.due import due as due_things
from floorwright.shop.story import Story, stories, story


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


@click.command(epilog="Example:\n\n\b\n  floorwright due my-shop --within 60")
@shop_argument
@click.option("--within", default=30, show_default=True, help="Days ahead.")
@json_option
def due(shop: Path, within: int, as_json: bool) -> None:
    """What needs someone in SHOP next: repeats, readings, decisions, looks at what is watched."""
    with opened(shop) as found:
        things = due_things(found, within_days=within)
    if as_json:
        print_json(
            [
                {"improvement": each.improvement, "on": each.on, "what": each.what, "late": each.late}
                for each in things
            ]
        )
        return
    if not things:
        click.echo("Nothing is due.")
        return
    rows = [
        [each.on.isoformat() + (" late" if each.late else ""), str(each.improvement), each.title, each.what]
        for each in things
    ]
    click.echo(table(["on", "no.", "improvement", "what"], rows, right="b"))
