"""Photos as cameras, phones and mischief make them: turned, stripped, made small, or refused in one sentence."""

from __future__ import annotations

import io
import struct
import zlib
from typing import Any

import pytest
from PIL import Image, ImageCms, PngImagePlugin

from floorwright.basis.errors import InputError
from floorwright.shop.ports import Box
from floorwright.store import picture
from floorwright.store.picture import masked_jpeg, photo_jpeg


def saved(image: Image.Image, kind: str, **more: Any) -> bytes:
    out = io.BytesIO()
    image.save(out, kind, **more)
    return out.getvalue()


def kept(data: bytes) -> Image.Image:
    image = Image.open(io.BytesIO(photo_jpeg(data, "photo")))
    image.load()
    assert (image.format, image.mode) == ("JPEG", "RGB")
    return image


def near(image: Image.Image, at: tuple[int, int], colour: tuple[int, int, int], within: int = 12) -> bool:
    found = image.getpixel(at)
    assert isinstance(found, tuple)
    return all(abs(a - b) <= within for a, b in zip(found, colour, strict=True))


def chunk(name: bytes, content: bytes) -> bytes:
    return struct.pack(">I", len(content)) + name + content + struct.pack(">I", zlib.crc32(name + content))


def png_of(width: int, height: int) -> bytes:
    """A PNG of a few bytes that claims any size."""
    header = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n"
        + chunk(b"IHDR", header)
        + chunk(b"IDAT", zlib.compress(b"\0" * 1000))
        + chunk(b"IEND", b"")
    )


def corners() -> Image.Image:
    """Red, green, blue, white in the corners from the top left, in reading order; wider than high."""
    image = Image.new("RGB", (96, 64), "grey")
    for at, colour in (((0, 0), "red"), ((64, 0), "green"), ((0, 32), "blue"), ((64, 32), "white")):
        image.paste(Image.new("RGB", (32, 32), colour), at)
    return image


# Exif 2.32, tag 0x0112: how the stored picture has to be turned so that it is seen as `corners` shows it.
STORED_AS = {
    1: None,
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_90,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_270,
}


@pytest.mark.parametrize("tag", STORED_AS)
@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_photo_is_turned_upright(kind: str, tag: int) -> None:
    exif = Image.Exif()
    exif[0x0112] = tag
    method = STORED_AS[tag]
    stored = corners() if method is None else corners().transpose(method)
    image = kept(saved(stored, kind, exif=exif, quality=95))
    assert image.size == (96, 64)
    assert near(image, (8, 8), (255, 0, 0), within=30)
    assert near(image, (88, 8), (0, 128, 0), within=30)
    assert near(image, (8, 56), (0, 0, 255), within=30)
    assert near(image, (88, 56), (255, 255, 255), within=30)


def test_place_camera_and_comments_are_stripped() -> None:
    exif = Image.Exif()
    exif[0x010F] = "SECRETMAKER"
    exif[0x8825] = {1: "N", 2: (51.0, 30.0, 0.0), 0x1D: "SECRETDATE"}
    jpeg = saved(corners(), "JPEG", exif=exif, comment=b"SECRETCOMMENT", xmp=b"<x>SECRETXMP</x>")
    text = PngImagePlugin.PngInfo()
    text.add_text("Author", "SECRETTEXT")
    png = saved(corners(), "PNG", exif=exif, pnginfo=text)
    webp = saved(corners(), "WEBP", exif=exif, xmp=b"SECRETXMP")
    for data in (jpeg, png, webp):
        assert b"SECRET" in data
        stored = photo_jpeg(data)
        assert b"SECRET" not in stored
        image = Image.open(io.BytesIO(stored))
        assert not image.getexif()
        assert set(image.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}


def test_bytes_after_the_picture_are_left_behind() -> None:
    assert b"SECRET" not in photo_jpeg(saved(corners(), "JPEG") + b"SECRET drawing")


def test_damaged_camera_data_do_not_cost_the_photo() -> None:
    data = saved(corners(), "JPEG", exif=b"Exif\0\0MM\0*\xff\xff\xff\xff")
    assert kept(data).size == (96, 64)


@pytest.mark.parametrize(
    ("size", "becomes"), [((4800, 1200), (2400, 600)), ((100, 5000), (48, 2400)), ((2400, 9), (2400, 9))]
)
@pytest.mark.parametrize("kind", ["JPEG", "PNG"])
def test_large_photo_is_made_smaller_and_small_one_left(
    kind: str, size: tuple[int, int], becomes: tuple[int, int]
) -> None:
    assert kept(saved(Image.new("RGB", size, "teal"), kind)).size == becomes


def test_transparent_picture_is_put_on_white() -> None:
    image = Image.new("RGBA", (32, 32), (255, 0, 0, 0))
    image.paste((0, 0, 255, 255), (16, 0, 32, 32))
    for data in (saved(image, "PNG"), saved(image.convert("LA"), "PNG"), saved(image, "WEBP", lossless=True)):
        assert near(kept(data), (4, 16), (255, 255, 255))
    assert near(kept(saved(image, "PNG")), (28, 16), (0, 0, 255))
    palette = Image.new("P", (32, 32), 1)
    palette.putpalette([255, 0, 0, 0, 0, 255])
    palette.paste(0, (16, 0, 32, 32))
    assert near(kept(saved(palette, "PNG", transparency=0)), (28, 16), (255, 255, 255))


def test_cmyk_grey_two_tone_and_sixteen_bit_pictures_become_rgb() -> None:
    assert near(
        kept(saved(Image.new("CMYK", (32, 32), (0, 255, 255, 0)), "JPEG", quality=95)), (9, 9), (255, 0, 0), 60
    )
    assert near(kept(saved(Image.new("L", (32, 32), 90), "JPEG")), (9, 9), (90, 90, 90))
    assert near(kept(saved(Image.new("1", (32, 32), 1), "PNG")), (9, 9), (255, 255, 255))
    for sixteen, eight in ((0, 0), (32896, 128), (65535, 255)):
        deep = Image.new("I;16", (32, 32), sixteen)
        assert near(kept(saved(deep, "PNG")), (9, 9), (eight, eight, eight), within=1)


def test_colours_of_a_profile_are_carried_over() -> None:
    lab = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    assert near(
        kept(saved(Image.new("RGB", (32, 32), (200, 40, 40)), "JPEG", icc_profile=lab)), (9, 9), (200, 40, 40)
    )
    broken = saved(Image.new("RGB", (32, 32), (200, 40, 40)), "JPEG", icc_profile=b"no profile at all")
    assert near(kept(broken), (9, 9), (200, 40, 40))


def test_same_picture_gives_the_same_bytes() -> None:
    data = saved(corners(), "PNG")
    assert photo_jpeg(data, "one") == photo_jpeg(data, "another")


def frames(kind: str) -> bytes:
    more = [Image.new("RGB", (32, 32), colour) for colour in ("green", "blue")]
    return saved(Image.new("RGB", (32, 32), "red"), kind, save_all=True, append_images=more)


WHOLE = saved(corners(), "JPEG")

REFUSED = {
    "empty": (b"", "photo.jpg: is empty"),
    "text named .jpg": (b"fetched clamps twice\n" * 9, "photo.jpg: is not a picture of a known kind; send a JPEG"),
    "gif": (saved(corners(), "GIF"), "is not a picture of a known kind"),
    "heic": (
        b"\0\0\0\x18ftypheic\0\0\0\0mif1heic",
        "is a HEIC or AVIF picture, which is not read here; save it as JPEG",
    ),
    "avif": (b"\0\0\0\x1cftypavif\0\0\0\0avifmif1", "is a HEIC or AVIF picture"),
    "cut jpeg": (WHOLE[: len(WHOLE) // 2], "is a JPEG that is cut off or damaged; copy it from the camera again"),
    "only jpeg's first bytes": (WHOLE[:12], "is a JPEG that is cut off or damaged"),
    "cut png": (saved(corners(), "PNG")[:120], "is a PNG that is cut off or damaged"),
    "cut webp": (saved(corners(), "WEBP")[:60], "is a WebP that is cut off or damaged"),
    "empty png": (b"\x89PNG\r\n\x1a\n", "is a PNG that is cut off or damaged"),
    "png of nothing": (png_of(0, 0), "is a PNG that is cut off or damaged"),
    "moving webp": (frames("WEBP"), "holds several pictures"),
    "moving png": (frames("PNG"), "holds several pictures"),
    "bomb": (png_of(60_000, 60_000), "has 60000 × 60000 pixels, more than 50 million; make it smaller first"),
    "huge bomb": (png_of(2**31 - 1, 2**31 - 1), "more than 50 million"),
}


@pytest.mark.parametrize(("data", "said"), REFUSED.values(), ids=REFUSED.keys())
def test_what_cannot_be_used_is_refused_in_one_sentence(data: bytes, said: str) -> None:
    with pytest.raises(InputError) as refused:
        photo_jpeg(data, "photo.jpg")
    assert str(refused.value).startswith("photo.jpg: ")
    assert said in str(refused.value)
    assert len(refused.value.problems) == 1


def test_picture_that_unfolds_in_its_text_is_refused() -> None:
    bomb = chunk(b"zTXt", b"Comment\0\0" + zlib.compress(b"A" * 200_000_000))
    data = saved(corners(), "PNG")
    with pytest.raises(InputError, match="cut off or damaged"):
        photo_jpeg(data[:33] + bomb + data[33:])


def test_file_that_is_too_large_is_refused_unread(monkeypatch: pytest.MonkeyPatch) -> None:
    with pytest.raises(InputError, match="has 41 MB, more than 40 MB; send a smaller one"):
        photo_jpeg(b"\xff\xd8\xff" + bytes(41_000_000))
    monkeypatch.setattr(picture, "LARGEST_BYTES", len(WHOLE))
    assert photo_jpeg(WHOLE)


def test_mask_hides_whole_pixels_and_no_more_than_it_must() -> None:
    white = saved(Image.new("RGB", (64, 64), "white"), "JPEG", quality=95)
    image = Image.open(io.BytesIO(masked_jpeg(white, [Box(0.26, 0.26, 0.49, 0.49)]))).convert("L")
    assert image.size == (64, 64)
    assert all(image.getpixel((x, y)) < 8 for x in range(16, 32) for y in range(16, 32))
    assert all(image.getpixel((x, y)) > 247 for x in range(64) for y in (0, 7, 40, 63))
