"""The typesetter: a template and data in, PDF or PNG out. Works offline, with the fonts of the package.

Text of users reaches the template as data (a JSON file), never as markup. Nothing is fetched: the
compiler is given a folder of its own with the template, the data and the pictures, and sees nothing else.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from functools import cache
from importlib.resources import as_file, files
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, Literal, cast

import typst

from floorwright.report.letters import missing_letters

_TEMPLATES = ("aid_drawing.typ", "aid_sheet.typ", "common.typ", "improvement.typ", "summary.typ")


def typeset_pdf(template: str, data: Mapping[str, Any], pictures: Mapping[str, bytes]) -> bytes:
    """A tagged PDF; it meets PDF/UA-1 unless the text has letters that the bundled typeface cannot draw."""
    return _compile(template, data, pictures, form="pdf")[0]


def typeset_png(
    template: str, data: Mapping[str, Any], pictures: Mapping[str, bytes], *, dpi: float
) -> tuple[bytes, ...]:
    """The pages as PNG pictures, for a preview."""
    return _compile(template, data, pictures, form="png", dpi=dpi)


def language(tag: str) -> dict[str, str | None]:
    """Language and region of a tag such as `en` or `pl-PL`, as the template takes them; English where unclear."""
    found = re.fullmatch(r"([a-z]{2,3})(?:[-_]([a-z]{2}))?", tag.strip(), re.IGNORECASE)
    if found is None:
        return {"language": "en", "region": None}
    return {"language": found[1].lower(), "region": found[2].upper() if found[2] else None}


def _compile(
    template: str,
    data: Mapping[str, Any],
    pictures: Mapping[str, bytes],
    *,
    form: Literal["pdf", "png"],
    dpi: float | None = None,
) -> tuple[bytes, ...]:
    text = json.dumps(data, ensure_ascii=False)
    whole = not missing_letters(text + "".join(_words(pictures)))
    with TemporaryDirectory(prefix="floorwright-page-") as folder:
        root = Path(folder)
        for name, content in (_templates() | dict(pictures) | {"data.json": text.encode()}).items():
            (root / name).write_bytes(content)

        def run(standard: Literal["ua-1"] | None) -> object:
            return typst.compile(
                str(root / template),
                root=str(root),
                font_paths=_fonts(with_system=not whole),
                format=form,
                ppi=dpi,
                pdf_standards=standard,
            )

        try:
            made = run("ua-1" if whole and form == "pdf" else None)
        except typst.TypstError as refusal:
            # The standard refuses text whose shapes do not lead back to its letters (accents heaped on one
            # letter); such a page is still tagged. Any other refusal is a fault of the template.
            if "missing codepoints" not in str(refusal):
                raise
            made = run(None)
    # One page comes as bytes, several come as a list of them.
    return tuple(made) if isinstance(made, list) else (cast("bytes", made),)


def _words(pictures: Mapping[str, bytes]) -> list[str]:
    return [content.decode() for name, content in pictures.items() if name.endswith(".svg")]


@cache
def _templates() -> dict[str, bytes]:
    folder = files("floorwright.report") / "templates"
    return {name: (folder / name).read_bytes() for name in _TEMPLATES}


@cache
def _fonts(*, with_system: bool) -> typst.Fonts:
    with as_file(files("floorwright.draw") / "fonts") as folder:
        return typst.Fonts(include_system_fonts=with_system, font_paths=[str(folder)])
