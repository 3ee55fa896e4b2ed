"""The calculation sheet of a shop aid: everything that was asked, checked and cited is on it."""

from __future__ import annotations

import datetime as dt
import re
import tomllib
from functools import cache
from typing import Any

import pytest

from floorwright.basis.quantity import UnitSystem
from floorwright.basis.sources import source
from floorwright.propose.aid.design import Design, design
from floorwright.propose.aid.record import sources_of
from floorwright.propose.aid.registry import PATTERNS
from floorwright.report.aid_sheet import sheet_pdf
from floorwright.report.page import Paper
from report.pages import read, text_of

DATE = dt.date(2026, 11, 30)


def spec(pattern: str) -> dict[str, Any]:
    return tomllib.loads(PATTERNS[pattern].example)


@cache
def made(pattern: str, system: UnitSystem) -> Design:
    return design(spec(pattern), system)


@cache
def printed(pattern: str, system: UnitSystem, paper: Paper = "letter") -> bytes:
    return sheet_pdf(made(pattern, system), shop="Alder Hollow", date=DATE, paper=paper)


def squeezed(text: str) -> str:
    """Without spaces, so that line breaks do not matter; signs and units as they are set."""
    text = re.sub(r"(?<![\w.)])-(?=[\d.])", "−", text).replace("\u200b", "")
    text = re.sub(r"\d+ of \d+ Alder Hollow|Alder Hollow · [^·]* · Calculation sheet \d+ of \d+", "", text)
    return re.sub(r"\s", "", text).lower()


@pytest.mark.parametrize("system", ["us", "si"])
@pytest.mark.parametrize("pattern", list(PATTERNS))
def test_every_check_stands_on_the_sheet_with_its_sentence_and_case(pattern: str, system: UnitSystem) -> None:
    text = squeezed(text_of(printed(pattern, system)))
    for each in made(pattern, system).findings:
        assert squeezed(each.check.name) in text
        assert squeezed(each.check.sentence) in text
        assert squeezed(each.check.case) in text


@pytest.mark.parametrize("pattern", list(PATTERNS))
def test_every_source_is_cited_and_those_from_memory_are_marked(pattern: str) -> None:
    text = squeezed(text_of(printed(pattern, "us")))
    named = [source(each) for each in sources_of(made(pattern, "us"))]
    for each in named:
        assert squeezed(each.citation) in text
        if each.where:
            assert squeezed(each.where) in text
    from_memory = sum(each.confirmed == "memory" for each in named)
    assert text.count("valuesfrommemory") >= from_memory > 0


@pytest.mark.parametrize("pattern", list(PATTERNS))
def test_every_step_of_the_working_has_its_meaning_and_result(pattern: str) -> None:
    text = squeezed(text_of(printed(pattern, "us")))
    for working in made(pattern, "us").workings:
        for step in working.steps:
            assert squeezed(step.meaning.replace(" - ", " − ").replace("*", "·")) in text


@pytest.mark.parametrize("pattern", list(PATTERNS))
def test_parts_plate_and_proof_test_are_there(pattern: str) -> None:
    text = squeezed(text_of(printed(pattern, "us")))
    found = made(pattern, "us")
    for part in found.proposal().parts:
        assert squeezed(part.name) in text
        assert squeezed(part.material) in text
    for line in (*found.rating.plate, *found.rating.proof, *found.rating.look_for):
        assert squeezed(line) in text
    assert "preparedby" in text
    assert "checkedby" in text
    assert "thissheetisnocertificate" in text


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_it_is_a_tagged_pdf_of_the_paper_asked_for_with_numbered_pages(paper: Paper) -> None:
    reader = read(printed("free_frame", "si", paper))
    root = reader.trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"]
    assert "pdfuaid" in root["/Metadata"].get_object().get_data().decode()
    pages = len(reader.pages)
    assert 10 <= pages <= 40
    wide = {"letter": 612.0, "a4": 595.3}[paper]
    for number, page in enumerate(reader.pages, 1):
        assert float(page.mediabox.width) == pytest.approx(wide, abs=0.5)
        assert f"{number} of {pages}" in page.extract_text()


def test_units_are_those_of_the_design() -> None:
    assert "pounds-force" in text_of(printed("free_frame", "us"))
    assert "newtons" in text_of(printed("free_frame", "si"))


def test_a_failing_aid_says_so_first_and_carries_no_working_load() -> None:
    raw = spec("panel_cart")
    raw["wheels"]["rating"] = "40 lb"
    found = design(raw)
    pdf = sheet_pdf(found, shop="", date=DATE)
    first = text_of(pdf, 0)
    assert "It fails" in first
    assert found.governing is not None
    assert "Change first" in first
    assert squeezed(found.governing.check.sentence) in squeezed(first)
    whole = text_of(pdf)
    assert "Withheld: it is not rated" in whole
    assert "NOT RATED" in whole
    assert "Proof test before first use" not in whole


def test_a_question_left_open_is_marked() -> None:
    raw = spec("free_frame")
    del raw["place"]["towed"]
    text = squeezed(text_of(sheet_pdf(design(raw), shop="Alder Hollow", date=DATE)))
    assert "towednotansweredsomebodymaytowit" in text.replace("?", "")
    assert "notknownyet" in text


def test_what_was_not_said_is_marked_as_usual() -> None:
    text = squeezed(text_of(printed("free_frame", "us")))
    assert "pushedby1(usual)" in text


def test_any_title_is_set_as_it_is_and_never_read_as_markup() -> None:
    raw = spec("free_frame")
    raw["title"] = "Bänke für Łódź #let x = $y$ *z* _w_ \\ " + "very long " * 20
    pdf = sheet_pdf(design(raw), shop="<b>Søn & Co</b>", date=DATE, paper="a4")
    text = text_of(pdf, 0)
    assert "Bänke für Łódź #let x = $y$ *z* _w_ \\" in text
    assert "<b>Søn & Co</b>" in text


def test_an_aid_that_nothing_lies_on_has_a_sheet() -> None:
    raw = spec("free_frame")
    raw["pieces"] = []
    text = text_of(sheet_pdf(design(raw), shop="Alder Hollow", date=DATE))
    assert "nothing lies on it" in text
    assert "Withheld" in text
