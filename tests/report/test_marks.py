"""Marks in the printed photo: where they were drawn, with a white edge, and in words for who cannot see them."""

from __future__ import annotations

import io
from dataclasses import replace
from typing import Any

import pytest
from PIL import Image

from floorwright.draw.ink import ACCENT
from floorwright.report.assemble import improvement_page
from floorwright.report.marks import marks_text, with_marks
from floorwright.shop.records import Mark
from report.conftest import Demo

DARK = tuple(bytes.fromhex(ACCENT[1:]))


def ground(colour: str = "#808080", size: tuple[int, int] = (400, 300)) -> bytes:
    out = io.BytesIO()
    Image.new("RGB", size, colour).save(out, "JPEG", quality=95)
    return out.getvalue()


def mark(kind: str, *points: tuple[float, float], label: str = "") -> Mark:
    return Mark.model_validate({"kind": kind, "points": points, "label": label})


def drawn(*marks: Mark, colour: str = "#808080", size: tuple[int, int] = (400, 300)) -> Image.Image:
    return Image.open(io.BytesIO(with_marks(ground(colour, size), marks))).convert("RGB")


def like(picture: Image.Image, at: tuple[int, int], colour: tuple[int, ...]) -> bool:
    found = picture.getpixel(at)
    assert isinstance(found, tuple)
    return all(abs(a - b) < 60 for a, b in zip(found, colour, strict=True))


@pytest.mark.parametrize(
    ("one", "on", "off"),
    [
        (mark("ring", (0.25, 0.25), (0.75, 0.75)), [(100, 150), (300, 150), (200, 75), (200, 225)], [(200, 150)]),
        (mark("ring", (0.75, 0.75), (0.25, 0.25)), [(100, 150), (300, 150)], [(200, 150), (105, 80)]),
        (mark("arrow", (0.1, 0.5), (0.9, 0.5)), [(60, 150), (200, 150), (358, 150)], [(200, 130), (30, 150)]),
        (mark("line", (0.1, 0.1), (0.5, 0.1), (0.5, 0.9)), [(100, 30), (200, 30), (200, 200)], [(120, 150)]),
    ],
)
def test_a_mark_is_where_it_was_drawn(one: Mark, on: list[Any], off: list[Any]) -> None:
    picture = drawn(one)
    assert all(like(picture, at, DARK) for at in on)
    assert all(like(picture, at, (128, 128, 128)) for at in off)


@pytest.mark.parametrize("colour", ["black", "white", ACCENT, "#808080"])
def test_it_shows_on_any_ground_also_in_grey(colour: str) -> None:
    grey = drawn(mark("arrow", (0.1, 0.5), (0.9, 0.5)), colour=colour).convert("L")
    column = [grey.getpixel((200, y)) for y in range(120, 180)]
    assert max(column) - min(column) > 120  # type: ignore[type-var, operator]


@pytest.mark.parametrize("at", [(0.01, 0.01), (0.99, 0.99), (0.99, 0.01), (0.01, 0.99)])
def test_a_label_is_whole_wherever_the_mark_is(at: tuple[float, float]) -> None:
    def written(end: tuple[float, float]) -> int:
        """Number of pixels that the label changed."""
        line = ((0.5, 0.5), end)
        bare, labelled = (
            drawn(mark("line", *line, label=label)).convert("L").tobytes() for label in ("", "far rack")
        )
        return sum(abs(a - b) > 40 for a, b in zip(bare, labelled, strict=True))

    assert written(at) > 0.8 * written((0.5, 0.4))


def test_a_photo_without_marks_is_the_same_file() -> None:
    assert with_marks(ground(), ()) == ground()


def test_marks_in_words() -> None:
    marks = (mark("ring", (0, 0), (1, 1), label="far rack"), mark("arrow", (0, 0), (1, 1)))
    assert marks_text(marks) == "Marked: a ring (far rack), an arrow."
    assert marks_text(()) == ""


def test_the_printed_page_shows_the_marked_photo_and_the_stored_one_stays(demo: Demo) -> None:
    story = next(each for each in demo.told if any(photo.moment == "before" for photo in each.record.photos))
    ring = mark("ring", (0.2, 0.2), (0.6, 0.6), label="here")
    photos = tuple(each.model_copy(update={"marks": (ring,)}) for each in story.record.photos)
    record = story.record.model_copy(update={"photos": photos})
    marked = replace(story, filed=replace(story.filed, record=record))
    page, plain = (improvement_page(each, demo.shop.photos.read) for each in (marked, story))
    assert plain.before_photo.image is not None
    assert page.before_photo.image not in (None, plain.before_photo.image)
    assert page.before_photo.text == f"{plain.before_photo.caption} Marked: a ring (here)."
    assert page.before_photo.caption == plain.before_photo.caption
