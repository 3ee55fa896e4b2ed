"""Write the pages of docs/ that follow from the code: calculations, sources, commands.

Run `python tools/docs.py`; with --check it fails when a page is out of date (a test does that).
"""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import click

from floorwright import catalogue
from floorwright.basis.sources import SOURCES
from floorwright.cli.main import floorwright

ROOT = Path(__file__).resolve().parent.parent
DOCS = ROOT / "docs"
BY_TOOL = "Written by `python tools/docs.py` from the code, not by hand."


def kind_of(about: dict[str, Any], schema: dict[str, Any]) -> str:
    """What a field takes, in a few words, from its JSON Schema."""
    if "x-dimension" in about:
        example = f", such as `{about['examples'][0]}`" if about.get("examples") else ""
        return f"{about['x-dimension']}{example}"
    if "$ref" in about:
        return kind_of(schema["$defs"][about["$ref"].rsplit("/", 1)[-1]], schema)
    if "enum" in about:
        return " · ".join(f"`{each}`" for each in about["enum"])
    if "const" in about:
        return f"`{about['const']}`"
    for choice in ("anyOf", "oneOf"):
        if choice in about:
            kinds = [kind_of(each, schema) for each in about[choice] if each.get("type") != "null"]
            return " or ".join(dict.fromkeys(kinds))
    if about.get("type") == "array":
        return f"list of {kind_of(about.get('items', {}), schema)}" if about.get("items") else "list"
    if about.get("type") == "object":
        fields = about.get("properties")
        return "object {" + ", ".join(f"`{name}`" for name in fields) + "}" if fields else "object"
    return str(about.get("type", "value"))


def calculations() -> str:
    """The page of all calculations."""
    parts = [
        "# Calculations",
        f"{BY_TOOL} A field with a default may be left out. "
        "A quantity is a string with a unit, or a bare number in SI.",
    ]
    for found in catalogue.all_calculations():
        schema = found.schema()
        required = set(schema.get("required", ()))
        rows = []
        for name, about in schema["properties"].items():
            default = "" if name in required else f"`{json.dumps(about.get('default'))}`"
            about_text = str(about.get("description", "")).replace("|", "\\|")
            rows.append(
                f"| `{name}` | {kind_of(about, schema).replace('|', chr(92) + '|')} | {default} | {about_text} |"
            )
        results = found(found.example).to_record(found.name)["results"]
        parts += [
            f"## {found.name}: {found.title}",
            found.question,
            "| field | takes | default | what |\n|---|---|---|---|\n" + "\n".join(rows),
            "Example\n\n```json\n" + json.dumps(found.example, indent=1, ensure_ascii=False) + "\n```",
            "Results\n\n```json\n" + shortened(results) + "\n```",
        ]
    return "\n\n".join(parts) + "\n"


def shortened(results: Any) -> str:
    """Results as JSON with figures that do not change with the machine's last digit."""

    def rounded(value: Any) -> Any:
        if isinstance(value, float):
            return float(f"{value:.6g}")
        if isinstance(value, dict):
            return {key: rounded(part) for key, part in value.items()}
        if isinstance(value, list):
            return [rounded(part) for part in value]
        return value

    return json.dumps(rounded(results), indent=1, ensure_ascii=False)


def sources() -> str:
    """The page of all sources."""
    rows = [f"| `{each.id}` | {each.citation} | {each.where} | {each.confirmed} |" for each in SOURCES.values()]
    return (
        "# Sources\n\n"
        f"{BY_TOOL} `yes`: values seen in a public copy; `memory`: recalled and recomputed; "
        "`practice`: common practice, no source; `own`: follows from definitions.\n\n"
        "| id | citation | where | confirmed |\n|---|---|---|---|\n" + "\n".join(rows) + "\n"
    )


def leaves(group: click.Group, path: tuple[str, ...] = ()) -> Iterator[tuple[str, click.Command]]:
    """Every command with the words that call it."""
    context = click.Context(group)
    for name in group.list_commands(context):
        command = group.get_command(context, name)
        if isinstance(command, click.Group):
            yield from leaves(command, (*path, name))
        elif command is not None:
            yield " ".join((*path, name)), command


def commands() -> str:
    """The page of all commands, with the help that the program prints."""
    parts = ["# Commands", BY_TOOL]
    for words, command in leaves(floorwright):
        context = click.Context(
            command,
            info_name=f"floorwright {words}",
            terminal_width=96,
            max_content_width=96,
            help_option_names=["-h", "--help"],  # as the group has it
        )
        parts += [f"## floorwright {words}", "```text\n" + command.get_help(context) + "\n```"]
    return "\n\n".join(parts) + "\n"


PAGES = {"calculations.md": calculations, "sources.md": sources, "commands.md": commands}


def main() -> None:
    """Write the pages, or check them."""
    stale = []
    for name, make in PAGES.items():
        text, path = make(), DOCS / name
        if path.is_file() and path.read_text(encoding="utf-8") == text:
            continue
        stale.append(name)
        if "--check" not in sys.argv:
            path.write_text(text, encoding="utf-8")
    if stale and "--check" in sys.argv:
        sys.exit(f"out of date: {', '.join(stale)}; run: python tools/docs.py")
    print("\n".join(stale) or "nothing to do")


if __name__ == "__main__":
    main()
