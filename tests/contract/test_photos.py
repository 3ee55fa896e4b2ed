"""What every photo store promises (`ports.Photos`)."""

from __future__ import annotations

import io

import pytest
from PIL import Image

from floorwright.basis.errors import InputError, NotFoundError
from floorwright.shop.ports import Box, Shop


def picture(colour: str = "red", size: tuple[int, int] = (64, 48)) -> bytes:
    out = io.BytesIO()
    Image.new("RGB", size, colour).save(out, "PNG")
    return out.getvalue()


def opened(jpeg: bytes) -> Image.Image:
    return Image.open(io.BytesIO(jpeg))


def test_photo_is_kept_under_the_hash_that_add_returns(shop: Shop) -> None:
    hash_ = shop.photos.add(picture(), "bench.png")
    assert shop.photos.hashes() == {hash_}
    kept = opened(shop.photos.read(hash_))
    assert (kept.format, kept.size, kept.mode) == ("JPEG", (64, 48), "RGB")


def test_same_picture_is_kept_once(shop: Shop) -> None:
    hashes = [shop.photos.add(picture()), shop.photos.add(picture()), shop.photos.add(picture("blue"))]
    assert hashes[0] == hashes[1] != hashes[2]
    assert shop.photos.hashes() == set(hashes)


def test_what_is_no_picture_is_refused_and_not_kept(shop: Shop) -> None:
    with pytest.raises(InputError, match=r"notes\.jpg: is not a picture"):
        shop.photos.add(b"walked to the rack and back", "notes.jpg")
    assert shop.photos.hashes() == set()


def test_a_smaller_copy_is_wide_enough_and_keeps_the_shape(shop: Shop) -> None:
    hash_ = shop.photos.add(picture(size=(2000, 1500)))
    whole = shop.photos.read(hash_)
    for width in (100, 320, 321, 640, 1000, 1280):
        small = shop.photos.read(hash_, width)
        assert small == shop.photos.read(hash_, width)
        found = opened(small)
        assert width <= found.width < 2000
        assert found.width / found.height == pytest.approx(4 / 3, abs=0.01)
        assert len(small) < len(whole)
    assert shop.photos.read(hash_, 1999) == whole
    assert shop.photos.hashes() == {hash_}


def test_a_copy_of_a_small_photo_is_the_photo(shop: Shop) -> None:
    hash_ = shop.photos.add(picture(size=(64, 48)))
    assert shop.photos.read(hash_, 320) == shop.photos.read(hash_)


def test_copies_go_with_their_photo(shop: Shop) -> None:
    plain = shop.photos.add(picture("white", (900, 600)))
    shop.photos.read(plain, 320)
    masked = shop.photos.mask(plain, [Box(0, 0, 0.5, 1)])
    with pytest.raises(NotFoundError):
        shop.photos.read(plain, 320)
    assert opened(shop.photos.read(masked, 320)).convert("L").getpixel((10, 10)) == 0
    shop.photos.remove(masked)
    with pytest.raises(NotFoundError):
        shop.photos.read(masked, 320)


def test_masked_photo_takes_the_place_of_the_unmasked(shop: Shop) -> None:
    plain = shop.photos.add(picture("white", (80, 80)))
    masked = shop.photos.mask(plain, [Box(0.25, 0.25, 0.5, 0.5), Box(0.75, 0, 1, 0.25)])
    assert shop.photos.hashes() == {masked}
    shown = opened(shop.photos.read(masked)).convert("L")
    assert [shown.getpixel(at) < 8 for at in [(21, 21), (38, 38), (62, 2), (79, 18)]] == [True] * 4
    assert [shown.getpixel(at) > 200 for at in [(10, 10), (50, 50), (79, 30)]] == [True] * 3


def test_mask_of_what_is_black_already_keeps_the_photo(shop: Shop) -> None:
    plain = shop.photos.add(picture("black"))
    masked = shop.photos.mask(plain, [Box(0, 0, 1, 1)])
    assert shop.photos.hashes() == {masked}


@pytest.mark.parametrize(
    "boxes",
    [[], [Box(0.5, 0, 0.5, 1)], [Box(0.6, 0, 0.5, 1)], [Box(-0.1, 0, 1, 1)], [Box(0, 0, 1, float("nan"))]],
    ids=["none", "empty", "turned round", "outside", "no number"],
)
def test_rectangle_that_hides_nothing_is_refused_and_the_photo_stays(shop: Shop, boxes: list[Box]) -> None:
    plain = shop.photos.add(picture())
    with pytest.raises(InputError, match="boxes"):
        shop.photos.mask(plain, boxes)
    assert shop.photos.hashes() == {plain}


def test_removed_photo_is_gone(shop: Shop) -> None:
    hash_ = shop.photos.add(picture())
    shop.photos.remove(hash_)
    assert shop.photos.hashes() == set()
    with pytest.raises(NotFoundError, match=hash_):
        shop.photos.read(hash_)


@pytest.mark.parametrize("hash_", ["0" * 64, "", "../shop.sqlite3", "A" * 64])
def test_photo_that_is_not_there_is_not_found(shop: Shop, hash_: str) -> None:
    for ask in (shop.photos.read, shop.photos.remove):
        with pytest.raises(NotFoundError, match="The shop has no photo"):
            ask(hash_)
    with pytest.raises(NotFoundError, match="The shop has no photo"):
        shop.photos.mask(hash_, [Box(0, 0, 1, 1)])
