"""Collect the texts of the pages into the message catalogues and compile them (for maintainers).

    python tools/words.py          collect, merge into every language, compile
    python tools/words.py --check  say what is missing or stale, change nothing

The catalogues are gettext's: src/floorwright/web/locale/LANGUAGE/LC_MESSAGES/floorwright.po, and .mo beside it.
"""

from __future__ import annotations

import datetime as dt
import io
import re
import sys
from pathlib import Path

from babel.messages.catalog import Catalog
from babel.messages.extract import extract_from_dir
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po, write_po

ROOT = Path(__file__).resolve().parent.parent
SOURCE = ROOT / "src" / "floorwright"
LOCALE = SOURCE / "web" / "locale"
LANGUAGES = ("es",)
METHODS = [("**/templates/**.html", "jinja2"), ("**.py", "python")]
KEYWORDS = {
    "_": None,
    "gettext": None,
    "ngettext": (1, 2),
    "N_": None,
    "said": None,
    "said_n": (1, 2),
    "template": None,
}


def collected() -> Catalog:
    """Every text that the pages say, from templates and from sentences of the shop."""
    found = Catalog(project="floorwright", charset="utf-8")
    for name, line, message, comments, context in extract_from_dir(
        SOURCE, METHODS, {"**.html": {"silent": "false"}}, KEYWORDS, comment_tags=("Translators:",)
    ):
        if message:
            found.add(message, locations=[(name, line)], auto_comments=comments, context=context)
    return found


def path_of(language: str) -> Path:
    """Where the catalogue of a language lies."""
    return LOCALE / language / "LC_MESSAGES" / "floorwright.po"


def held(language: str) -> Catalog:
    """The catalogue of a language as it stands."""
    path = path_of(language)
    if not path.exists():
        return Catalog(locale=language, project="floorwright", charset="utf-8")
    with path.open("rb") as file:
        return read_po(file, locale=language)


def merged(language: str) -> Catalog:
    """The catalogue of a language with every text in it, those no longer said left out."""
    catalogue = held(language)
    catalogue.update(collected(), no_fuzzy_matching=True)
    catalogue.obsolete.clear()
    return catalogue


def compiled(catalogue: Catalog) -> bytes:
    """A catalogue as `gettext` reads it."""
    # Else the hour at which it was compiled would stand in the file.
    catalogue.creation_date = catalogue.revision_date = dt.datetime(2026, 1, 1, tzinfo=dt.UTC)
    buffer = io.BytesIO()
    write_mo(buffer, catalogue)
    return buffer.getvalue()


def _places(text: str) -> set[str]:
    """Where values are put into a text: `{name}` and `%(name)s`."""
    return set(re.findall(r"\{\w+\}|%\(\w+\)[sd]", text))


def missing(catalogue: Catalog) -> list[str]:
    """The texts without a translation, and those whose places for values differ."""
    wrong = []
    for message in catalogue:
        if not message.id:
            continue
        given = message.string if isinstance(message.string, tuple) else (message.string,)
        name = message.id if isinstance(message.id, str) else message.id[0]
        if not all(given):
            wrong.append(f"not translated: {name!r}")
            continue
        wrong += [
            f"{name!r}: the places for values differ in {each!r}" for each in given if _places(each) - _places(name)
        ]
        wrong += [f"{name!r}: {each!r} leaves a value out" for each in given if _places(name) - _places(each)]
    return wrong


def written(catalogue: Catalog) -> bytes:
    """A catalogue as a file: sorted, without line numbers, so that a diff shows what changed."""
    buffer = io.BytesIO()
    write_po(buffer, catalogue, omit_header=False, sort_output=True, no_location=True, width=110)
    lines = buffer.getvalue().decode("utf-8").splitlines(keepends=True)
    dated = ('"POT-Creation-Date', '"PO-Revision-Date', '"Generated-By', '"Report-Msgid', '"Last-Translator')
    return "".join(line for line in lines if not line.startswith(dated)).encode("utf-8")


def main() -> None:
    """Collect, merge and compile, or check."""
    faults = []
    for language in LANGUAGES:
        catalogue = merged(language)
        po, mo = path_of(language), path_of(language).with_suffix(".mo")
        faults += [f"{language}: {each}" for each in missing(catalogue)]
        if "--check" in sys.argv:
            stale = not po.exists() or po.read_bytes() != written(catalogue)
            if stale or not mo.exists() or mo.read_bytes() != compiled(held(language)):
                faults.append(f"{language}: the catalogue is stale; run python tools/words.py")
            continue
        po.parent.mkdir(parents=True, exist_ok=True)
        po.write_bytes(written(catalogue))
        mo.write_bytes(compiled(held(language)))
    print("\n".join(faults) or "Every text is translated.")
    if "--check" in sys.argv and faults:
        sys.exit(1)


if __name__ == "__main__":
    main()
