"""The printed sheets in the browser: the same PDF as from the command, its pages as pictures, kept while alike."""

from __future__ import annotations

import io
import threading
from pathlib import Path

from PIL import Image

from floorwright import bootstrap
from floorwright.report.assemble import improvement_page
from floorwright.shop.improvements import change_improvement
from floorwright.shop.ports import Author, Shop
from floorwright.shop.story import story
from floorwright.web.sheets import Sheet, Sheets, fingerprint
from webapp import Person, StandingClock

LEAD = Author(who="Ines", role="lead")


def test_the_pdf_is_the_one_that_the_command_prints(person: Person, shop: Shop) -> None:
    answer = person.get("/improvements/9/sheet.pdf")
    assert answer.headers["content-type"] == "application/pdf"
    assert answer.headers["content-disposition"] == (
        'inline; filename="009-frames-stay-on-one-cart-to-coating.pdf"'
    )
    assert "frame-ancestors 'self'" in answer.headers["content-security-policy"]
    assert answer.content == bootstrap.improvement_pdf(shop, story(shop, 9))


def test_the_pages_are_pictures_of_the_paper(person: Person) -> None:
    text = person.get("/improvements/9/sheet").text
    answer = person.get("/improvements/9/sheet/1.png")
    picture = Image.open(io.BytesIO(answer.content))
    assert picture.format == "PNG"
    assert picture.width / picture.height < 0.9
    assert "/improvements/9/sheet/2.png?v=" in text
    person.get("/improvements/9/sheet/99.png", 404)
    person.get("/improvements/9/sheet/0.png", 404)
    person.get("/improvements/999/sheet", 404)
    person.get("/improvements/999/sheet.pdf", 404)


def test_the_shop_has_a_sheet_of_its_own(person: Person) -> None:
    person.get("/charts/sheet")
    assert person.get("/charts/sheet.pdf?download=yes").content.startswith(b"%PDF")
    person.get("/charts/sheet/1.png")


def test_a_shop_without_improvements_says_what_to_do(tmp_path: Path) -> None:
    from floorwright.shop.records import Settings

    shop = bootstrap.new_shop(tmp_path / "new", Settings(name="New"), LEAD, StandingClock())
    person = Person(shop)
    with person.client:
        assert "There is no sheet yet" in person.get("/charts/sheet").text
        person.get("/charts/sheet.pdf", 404)
    shop.close()


def test_a_change_gives_another_sheet_and_no_change_the_same(shop: Shop) -> None:
    def printed() -> str:
        return fingerprint(improvement_page(story(shop, 9), shop.photos.read))

    first = printed()
    assert printed() == first
    change_improvement(shop, 9, {"title": "Another name"}, LEAD)
    assert printed() != first


def test_a_sheet_is_set_once_however_many_ask_for_it(shop: Shop) -> None:
    printed = improvement_page(story(shop, 10), shop.photos.read)
    sheets, made = Sheets(), []
    found: list[Sheet] = []

    def pdf() -> bytes:
        made.append(1)
        return b"%PDF"

    def ask() -> None:
        found.append(sheets.sheet(printed, pdf, lambda: (b"png",)))

    threads = [threading.Thread(target=ask) for _ in range(8)]
    for each in threads:
        each.start()
    for each in threads:
        each.join()
    assert len(found) == 8
    assert made == [1]
