"""Every command has help that says what it does and shows an example that names real options."""

from __future__ import annotations

import re
from collections.abc import Iterator

import click
import pytest

from floorwright.cli.main import floorwright


def leaves(group: click.Group, path: tuple[str, ...] = ()) -> Iterator[tuple[tuple[str, ...], click.Command]]:
    """Every command that does something, with the words that call it."""
    context = click.Context(group)
    for name in group.list_commands(context):
        command = group.get_command(context, name)
        assert command is not None, f"{name} is listed but cannot be loaded"
        if isinstance(command, click.Group):
            yield from leaves(command, (*path, name))
        else:
            yield (*path, name), command


LEAVES = dict(leaves(floorwright))


@pytest.mark.parametrize("path", LEAVES, ids=" ".join)
def test_help_says_what_it_does_and_shows_an_example(path: tuple[str, ...]) -> None:
    command = LEAVES[path]
    assert command.help, "no help"
    assert command.epilog, "no example"
    assert f"floorwright {' '.join(path)}" in command.epilog


@pytest.mark.parametrize("path", LEAVES, ids=" ".join)
def test_every_option_has_help_and_the_example_uses_options_that_exist(path: tuple[str, ...]) -> None:
    command = LEAVES[path]
    known = {"--help"}
    for parameter in command.params:
        if isinstance(parameter, click.Option):
            known |= set(parameter.opts)
            assert parameter.help or isinstance(parameter.type, click.Choice), f"{parameter.name} has no help"
    used = set(re.findall(r"(?<!\S)--[a-z][a-z-]*", command.epilog or ""))
    assert used <= known, f"the example uses {used - known}"
