"""The improvement sheet: one page, whatever was written, with the working of its numbers behind it."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Any, get_args

import pytest
from pypdf import PdfReader
from pypdf.generic import IndirectObject

from floorwright.draw import Picture
from floorwright.report import (
    Caution,
    Fact,
    Gain,
    ImprovementPage,
    Mark,
    Paper,
    Photo,
    PictureError,
    Signal,
    Source,
    missing_letters,
    preview_improvement,
    render_improvement,
)
from floorwright.report.improvement import _prepare
from report.pages import bare, improvement, photo, read, row, text_of

LONG = "Zażółć gęślą jaźń, Ελληνικά, Кириллица and a sentence that does not want to end at all, not even here. "
WORD = "Fahrradüberdachungskonstruktionsvorrichtungswagenrollenhalterung"
SIZES = {"letter": (612.0, 792.0), "a4": (595.276, 841.89)}


def walk(reader: PdfReader) -> list[dict[str, Any]]:
    """Every element of the structure tree."""
    found: list[dict[str, Any]] = []
    todo: list[Any] = [reader.trailer["/Root"]["/StructTreeRoot"]]
    while todo:
        item = todo.pop()
        item = item.get_object() if isinstance(item, IndirectObject) else item
        if isinstance(item, dict):
            found.append(item)
            kids = item.get("/K", [])
            kids = kids.get_object() if isinstance(kids, IndirectObject) else kids
            todo += kids if isinstance(kids, list) else [kids]
    return found


def last_line(pdf: bytes) -> float:
    """How low the words of the first sheet reach, in points from its foot, the running foot left out."""
    lows: list[float] = []

    def visit(text: str, matrix: list[float], place: list[float], font: Any, size: float) -> None:
        y = place[5] * matrix[3] + matrix[5]
        if text.strip() and y > 40:
            lows.append(y)

    read(pdf).pages[0].extract_text(visitor_text=visit)
    return min(lows)


@pytest.mark.parametrize("paper", get_args(Paper))
class TestSheet:
    def test_says_everything_on_one_page_of_the_chosen_paper(self, paper: Paper) -> None:
        pdf = render_improvement(replace(improvement(), paper=paper, appendix=(), sources=()))
        (page,) = read(pdf).pages
        assert (float(page.mediabox.width), float(page.mediabox.height)) == pytest.approx(SIZES[paper], abs=0.01)
        said = text_of(pdf)
        for words in (
            "Does a rack at the bench cut the walk?", "Basket rack at weld bench 2", "Weld bay", "walking",
            "holding", "The far rack.", "The rack at the bench.", "Proven", "20.0 s less (15.9 to 24.1)",
            "beyond 5 s",
            "Provisional: measure again by 2026-12-30 and 2027-02-28.", "61.7", "41.7", "−20.0",
            "(−24.1 to −15.9)", "again by 2026-12-30",
            "$1,840 a year", "Payback", "4 months (3 to 6)", "burdened rate of $30.00 an hour",
            "1.6 → 0.9", "Lift index", "Five baskets every second Friday", "WARNING", "above 15 kg",
            "the weld lead, ext. 214", "2026-11-18", "2026-11-30", "No. 12", "1 of 1", "seconds a basket",
        ):  # fmt: skip
            assert words in said, words

    def test_stays_one_page_when_everything_is_too_long(self, paper: Paper) -> None:
        page = replace(
            overfull(), paper=paper, appendix=(), sources=(), before_photo=Photo(image=None, caption=LONG * 4)
        )
        pdf = render_improvement(page)
        said = text_of(pdf, 0)
        assert "1 of" in said
        assert said.index("Ask") > said.index("CAUTION") > said.index("Worth")
        assert last_line(pdf) >= 44
        assert "What was measured" not in text_of(pdf, 1).split("In full")[0].split("More numbers")[0]


def overfull() -> ImprovementPage:
    page = improvement()
    return replace(
        page,
        title=WORD * 2,
        question=LONG * 5,
        shop=LONG,
        area=WORD,
        waste_kind=WORD,
        phase=WORD,
        number=WORD,
        date=WORD,
        after_photo=Photo(image=photo(300, 800), caption=LONG * 4),
        rows=tuple(
            replace(row(LONG + str(i)), before=WORD, after=WORD, difference=WORD, interval=WORD, verdict=WORD)
            for i in range(8)
        ),
        verdict=replace(
            page.verdict, word=WORD, but=LONG * 5, sentence=LONG * 5, rule=LONG * 5, provisional=LONG * 5
        ),
        worth=replace(
            page.worth,
            headline=WORD,
            interval=LONG * 3,
            facts=tuple(Fact(label=WORD, text=LONG * 3) for _ in range(8)),
            rate=LONG * 3,
        ),
        gains=tuple(Gain(name=LONG, value=WORD) for _ in range(6)),
        held_by=tuple(Fact(label=WORD, text=LONG * 3) for _ in range(8)),
        cautions=tuple(Caution(signal=s, text=LONG * 4) for s in get_args(Signal)),
        approved=LONG * 4,
        who_to_ask=LONG * 4,
    )


class TestNothingIsLost:
    def test_what_the_sheet_shortens_is_printed_in_full_behind_it(self) -> None:
        question = "Would it help " + "to move the rack nearer " * 10 + "before Friday?"
        pdf = render_improvement(replace(improvement(), question=question))
        assert "…" in text_of(pdf, 0)
        assert question in text_of(pdf)
        assert question not in text_of(pdf, 0)

    def test_steps_keep_their_lines_until_they_are_too_long_together(self) -> None:
        short = Fact(label="Standard work", text="1. Brake on.\n2. Load from the left.")
        long = Fact(label="Standard work", text="\n".join(f"{i}. {LONG}" for i in range(1, 9)))
        for fact, shortened in ((short, False), (long, True)):
            data, _ = _prepare(replace(improvement(), held_by=(fact,)))
            (held,) = data["sheet"]["held"]
            assert (len(held["lines"]) == 1) is shortened
            assert held["lines"][-1].endswith("…") is shortened

    def test_numbers_beyond_six_are_printed_behind_it(self) -> None:
        rows = tuple(row(f"Measure {i}") for i in range(1, 9))
        pdf = render_improvement(replace(improvement(), rows=rows))
        assert "Measure 6" in text_of(pdf, 0)
        assert "Measure 7" not in text_of(pdf, 0)
        assert "Measure 8" in text_of(pdf)

    def test_facts_gains_and_cautions_beyond_their_places_are_printed_behind_it(self) -> None:
        pdf = render_improvement(
            replace(
                improvement(),
                held_by=tuple(Fact(label=f"Label {i}", text=f"fact {i}") for i in range(1, 8)),
                gains=tuple(Gain(name=f"Gain {i}", value=f"{i} m²") for i in range(1, 7)),
                cautions=tuple(Caution(signal="NOTICE", text=f"care {i}") for i in range(1, 6)),
            )
        )
        assert all(words in text_of(pdf, 0) for words in ("fact 5", "Gain 4", "care 3"))
        assert all(words in text_of(pdf) for words in ("fact 7", "Gain 6", "care 5"))

    def test_the_gravest_caution_is_never_pushed_off_the_sheet(self) -> None:
        cautions = (
            *(Caution(signal="NOTICE", text=f"care {i}") for i in range(4)),
            Caution(signal="DANGER", text="!"),
        )
        assert "DANGER" in text_of(render_improvement(replace(bare(), cautions=cautions)), 0)


class TestEmptyPlaces:
    def test_show_the_next_step(self) -> None:
        said = text_of(render_improvement(bare()))
        assert "No photo yet Take one of the drawer at shift start." in said
        assert "Take one from the same spot, after the change." in said
        assert "No chart yet Count searches on five shifts." in said
        assert "No money claimed" in said

    def test_leave_one_sheet(self) -> None:
        assert len(read(render_improvement(bare())).pages) == 1

    @pytest.mark.parametrize("size", [(300, 900), (1200, 300), (40, 40), (1, 1)])
    def test_a_photo_of_any_shape_keeps_the_sheet_to_one_page(self, size: tuple[int, int]) -> None:
        page = replace(bare(), before_photo=Photo(image=photo(*size), caption="As found."))
        assert len(read(render_improvement(page)).pages) == 1

    def test_a_photo_that_is_no_picture_is_named(self) -> None:
        page = replace(bare(), after_photo=Photo(image=b"not a picture", caption=""))
        with pytest.raises(PictureError, match="photo after the change is neither PNG nor JPEG"):
            render_improvement(page)


class TestUserText:
    @pytest.mark.parametrize(
        "text",
        [
            '#read("x")', "*bold* _it_", "$x$ and $", "@ref <label>", "back\\slash \\u{41}",
            "\"quotes\" 'and' `code`", "= heading", "- item", "https://example.org",
            "#panic()", "// gone", "/* gone */", "~ -- ---", "[x](y)",
        ],
    )  # fmt: skip
    def test_is_printed_as_it_was_typed(self, text: str) -> None:
        pdf = render_improvement(replace(bare(), question=text, who_to_ask=text))
        assert text_of(pdf).count(text) >= 2

    @pytest.mark.parametrize(
        "text", ["😀", "漢字かな", "عربي", "हिन्दी", "\U000f0000", "\ue000", "\u202e", "\x00", "\ud800"]
    )
    def test_in_any_script_makes_a_page(self, text: str) -> None:
        pdf = render_improvement(replace(bare(), question=f"Does {text} help?"))
        assert len(read(pdf).pages) == 1
        assert re.search(r"Does .*help\?", text_of(pdf))

    def test_accents_heaped_on_one_letter_make_a_page(self) -> None:
        pdf = render_improvement(replace(bare(), question="\u1ea4\u0224\u045d\u035a and Ấ͚͚ȤѝA͚͛͜"))
        assert len(read(pdf).pages) == 1

    def test_in_a_script_of_the_bundled_typeface_needs_no_other_font(self) -> None:
        pdf = render_improvement(replace(bare(), question="Zażółć gęślą, Ελληνικά, Кириллица?"))
        assert "Zażółć gęślą, Ελληνικά, Кириллица?" in text_of(pdf)
        assert fonts(pdf)
        assert all("Inter" in name for name in fonts(pdf))

    def test_letters_the_typeface_lacks_are_named(self) -> None:
        assert missing_letters("Żółw 漢 → 😀 m²") == "漢😀"

    def test_a_long_word_is_broken_not_cut(self) -> None:
        pdf = render_improvement(replace(bare(), question=WORD))
        assert WORD in text_of(pdf).replace(" ", "")

    def test_empty_text_everywhere_makes_a_page(self) -> None:
        page = replace(bare(), title="", question="", shop="", area="", waste_kind="", phase="", number="", date="")
        page = replace(page, verdict=replace(page.verdict, word="", sentence=""), chart_next="")
        assert len(read(render_improvement(page)).pages) == 1


def fonts(pdf: bytes) -> dict[str, bool]:
    """Names of the fonts of a PDF, and whether each is embedded."""
    found: dict[str, bool] = {}
    for page in read(pdf).pages:
        for entry in page["/Resources"].get("/Font", {}).values():
            inner = entry.get_object()["/DescendantFonts"][0].get_object()
            descriptor = inner["/FontDescriptor"].get_object()
            embedded = any(key in descriptor for key in ("/FontFile", "/FontFile2", "/FontFile3"))
            found[str(descriptor["/FontName"])] = embedded
    return found


class TestDocument:
    def test_embeds_its_fonts(self) -> None:
        found = fonts(render_improvement(improvement()))
        assert {name.split("+")[-1].split("-")[0] for name in found} == {"Inter"}
        assert all(found.values())

    def test_is_tagged_with_title_and_language_and_meets_the_standard_for_access(self) -> None:
        pdf = render_improvement(improvement())
        reader = read(pdf)
        root = reader.trailer["/Root"]
        assert root["/MarkInfo"]["/Marked"]
        assert root["/Lang"] == "en"
        assert reader.metadata is not None
        assert reader.metadata.title == "Basket rack at weld bench 2: Does a rack at the bench cut the walk?"
        assert "pdfuaid" in root["/Metadata"].get_object().get_data().decode()

    @pytest.mark.parametrize(("tag", "said"), [("pl-PL", "pl-PL"), ("de", "de"), ("plain English", "en")])
    def test_takes_its_language_from_the_page(self, tag: str, said: str) -> None:
        assert read(render_improvement(replace(bare(), language=tag))).trailer["/Root"]["/Lang"] == said

    def test_headings_tables_and_pictures_are_tagged(self) -> None:
        tags = [str(item.get("/S")) for item in walk(read(render_improvement(improvement())))]
        assert tags.count("/H1") == 1
        assert {"/H2", "/H3", "/Table", "/TH", "/Figure"} <= set(tags)

    def test_every_picture_has_words(self) -> None:
        page = improvement()
        assert page.chart is not None
        figures = [i for i in walk(read(render_improvement(page))) if str(i.get("/S")) == "/Figure"]
        said = [str(figure["/Alt"]) for figure in figures]
        assert sorted(said) == sorted(
            ["A bench and a rack far to the right.", "The rack at the bench.", page.chart.text, page.chart.text]
        )

    def test_is_the_same_every_time(self) -> None:
        assert render_improvement(improvement()) == render_improvement(improvement())

    def test_a_preview_is_a_picture_of_each_page(self) -> None:
        pictures = preview_improvement(improvement(), dpi=40)
        assert len(pictures) == len(read(render_improvement(improvement())).pages)
        assert all(picture.startswith(b"\x89PNG") for picture in pictures)
        assert len(preview_improvement(bare(), dpi=40)) == 1

    @pytest.mark.parametrize("signal", get_args(Signal))
    def test_a_caution_says_its_signal_word(self, signal: Signal) -> None:
        page = replace(bare(), cautions=(Caution(signal=signal, text="Two people to move it."),))
        assert f"{signal} Two people to move it." in text_of(render_improvement(page))

    @pytest.mark.parametrize("mark", get_args(Mark))
    def test_every_mark_can_be_drawn(self, mark: Mark) -> None:
        page = replace(bare(), rows=(replace(row(), mark=mark, verdict="so"),))
        assert "−20.0 (−24.1 to −15.9) so" in text_of(render_improvement(page))


class TestAppendix:
    def test_shows_the_working_of_each_number_and_its_source(self) -> None:
        pdf = render_improvement(improvement())
        said = " ".join(text_of(pdf, i) for i in range(1, len(read(pdf).pages)))
        for words in (
            "Difference of the mean walk", "s1", "4.04 s", "standard deviation before",
            "The two series are independent.", "= √(s1²/n1 + s2²/n2)", "= √(4.04²/3 + 2.52²/3)", "= 2.75 s",
            "[1] Welch, B. L. (1947), Biometrika 34, 28-35.", "12 kg", "15 kg", "0.80", "It holds.",
            "2 of 2",
        ):  # fmt: skip
            assert words in said, words

    def test_goes_on_over_as_many_pages_as_it_needs_each_numbered(self) -> None:
        pdf = render_improvement(replace(improvement(), appendix=improvement().appendix * 12))
        count = len(read(pdf).pages)
        assert count > 4
        assert all(f"{i + 1} of {count}" in text_of(pdf, i) for i in range(count))

    def test_sources_alone_make_a_second_page(self) -> None:
        page = replace(improvement(), appendix=(), sources=(Source(key="a", citation="A book."),))
        assert "[1] A book." in text_of(render_improvement(page), 1)


def test_a_chart_that_is_shown_twice_is_stored_under_two_names() -> None:
    data, pictures = _prepare(improvement())
    names = [data["sheet"]["chart"]["file"], data["appendix"]["worked"][0]["pictures"][0]["file"]]
    assert len(set(names)) == 2
    assert set(names) <= set(pictures.files)


def test_an_svg_of_another_hand_is_set_too() -> None:
    drawn = Picture(svg='<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9"/>', text="Nothing yet.")
    assert len(read(render_improvement(replace(bare(), chart=drawn))).pages) == 1
