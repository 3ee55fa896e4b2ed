"""Bytes that somebody calls a photo -> an upright, plain JPEG without a trace of where it was taken.

Pictures are judged from their header before they are decoded, so that a small file that unfolds to a huge
picture costs nothing.
"""

from __future__ import annotations

import io
import struct
import threading
import warnings
import zlib
from collections.abc import Callable, Sequence
from math import ceil, floor
from typing import Final

from PIL import Image, ImageCms, ImageDraw, ImageFile
from PIL.JpegImagePlugin import JpegImageFile
from PIL.PngImagePlugin import PngImageFile
from PIL.WebPImagePlugin import WebPImageFile

from floorwright.basis.errors import InputError, Problem
from floorwright.basis.sentence import said
from floorwright.shop.ports import Box

LARGEST_BYTES: Final = 40_000_000
LONGEST_SIDE: Final = 2400
QUALITY: Final = 85
# A JPEG is decoded at a fraction of its size, other kinds whole: hence the two limits.
_MOST_PIXELS: Final = {"JPEG": 120_000_000, "PNG": 50_000_000, "WebP": 50_000_000}

# A large picture takes some hundred MB while it is unfolded, and what Python warns of is set for all threads.
_one_at_a_time: Final = threading.Lock()

# What Pillow raises on a file that is not what its first bytes promise.
_BROKEN: Final = (
    OSError,
    SyntaxError,
    ValueError,
    TypeError,
    KeyError,
    IndexError,
    EOFError,
    OverflowError,
    struct.error,
    zlib.error,
    Image.DecompressionBombError,
)
_UNREAD_BRANDS: Final = frozenset((b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"mif1", b"msf1", b"avif"))


def photo_jpeg(data: bytes, name: str = "") -> bytes:
    """The picture as an upright sRGB JPEG, at most `LONGEST_SIDE` pixels long, without metadata.

    Raises InputError, in one sentence, for what is no usable picture.
    """
    kind = _kind(data, name)
    try:
        with _one_at_a_time, warnings.catch_warnings():
            # Pillow warns of odd camera data, which are thrown away here.
            warnings.simplefilter("ignore", UserWarning)
            picture = _OPEN[kind](io.BytesIO(data))
            _check_size(picture, kind, name)
            return _encode(_upright(picture))
    except InputError:
        raise
    except _BROKEN as error:
        raise _no(
            name, said("is a {kind} that is cut off or damaged; copy it from the camera again", kind=kind)
        ) from error


def masked_jpeg(data: bytes, boxes: Sequence[Box]) -> bytes:
    """A stored JPEG with rectangles blacked out. Raises InputError for rectangles outside the picture."""
    _check_boxes(boxes)
    picture = JpegImageFile(io.BytesIO(data))
    picture.load()
    brush = ImageDraw.Draw(picture)
    width, height = picture.size
    for box in boxes:
        # Outwards to whole pixels: a mask that is a pixel too large hides, one too small shows.
        corner = (floor(box.left * width), floor(box.top * height))
        brush.rectangle((corner, (ceil(box.right * width) - 1, ceil(box.bottom * height) - 1)), fill=(0, 0, 0))
    return _encode(picture)


def scaled_jpeg(data: bytes, width: int) -> bytes:
    """A stored JPEG made so many pixels wide; as it is where it is no wider."""
    picture = JpegImageFile(io.BytesIO(data))
    full = picture.size
    if full[0] <= width:
        return data
    height = max(1, round(full[1] * width / full[0]))
    picture.draft("RGB", (width, height))
    picture.load()
    return _encode(picture.resize((width, height), Image.Resampling.LANCZOS, reducing_gap=3.0))


def _check_boxes(boxes: Sequence[Box]) -> None:
    if not boxes:
        raise InputError.of("boxes", None, said("give at least one rectangle to black out"))
    wrong = [
        Problem(
            f"boxes[{index}]",
            [box.left, box.top, box.right, box.bottom],
            said("left must lie before right and top above bottom, all from 0 to 1 (fractions of the photo)"),
        )
        for index, box in enumerate(boxes)
        if not (0 <= box.left < box.right <= 1 and 0 <= box.top < box.bottom <= 1)
    ]
    if wrong:
        raise InputError(wrong)


def _encode(picture: Image.Image) -> bytes:
    # Onto a bare canvas, for Pillow would write a comment that it read along with the pixels.
    bare = Image.new("RGB", picture.size)
    bare.paste(picture)
    out = io.BytesIO()
    bare.save(out, "JPEG", quality=QUALITY, optimize=True)
    return out.getvalue()


def _no(name: str, message: str) -> InputError:
    # The sentence names the file; its bytes would tell nobody anything.
    return InputError.of(name or "photo", name or None, message)


def _kind(data: bytes, name: str) -> str:
    if not data:
        raise _no(name, said("is empty; copy it from the camera again"))
    if len(data) > LARGEST_BYTES:
        raise _no(
            name,
            said(
                "has {have} MB, more than {most} MB; send a smaller one",
                have=f"{len(data) / 1e6:.0f}",
                most=f"{LARGEST_BYTES / 1e6:.0f}",
            ),
        )
    if data.startswith(b"\xff\xd8\xff"):
        return "JPEG"
    if data.startswith(b"\x89PNG\r\n\x1a\n"):
        return "PNG"
    if data[:4] == b"RIFF" and data[8:12] == b"WEBP":
        return "WebP"
    if data[4:8] == b"ftyp" and data[8:12] in _UNREAD_BRANDS:
        raise _no(
            name,
            said(
                "is a HEIC or AVIF picture, which is not read here; save it as JPEG (on a phone, set the "
                "camera to 'most compatible')"
            ),
        )
    raise _no(name, said("is not a picture of a known kind; send a JPEG, PNG or WebP"))


# The plugins themselves, not Image.open: that one guesses other formats and warns on size by a global setting.
_OPEN: Final[dict[str, Callable[[io.BytesIO], ImageFile.ImageFile]]] = {
    "JPEG": JpegImageFile,
    "PNG": PngImageFile,
    "WebP": WebPImageFile,
}


def _check_size(picture: ImageFile.ImageFile, kind: str, name: str) -> None:
    width, height = picture.size
    most = _MOST_PIXELS[kind]
    if width * height > most:
        raise _no(
            name,
            said(
                "has {width} × {height} pixels, more than {most} million; make it smaller first",
                width=width,
                height=height,
                most=f"{most / 1e6:.0f}",
            ),
        )
    if kind != "JPEG" and getattr(picture, "n_frames", 1) > 1:
        raise _no(name, said("holds several pictures (an animation); save the one you mean as JPEG"))


def _upright(picture: ImageFile.ImageFile) -> Image.Image:
    picture.draft(None, (LONGEST_SIDE, LONGEST_SIDE))
    picture.load()
    profile, turn = picture.info.get("icc_profile"), _turn(picture)
    plain = picture if picture.mode == "CMYK" else _on_white(_eight_bit(picture))
    if max(plain.size) > LONGEST_SIDE:
        plain.thumbnail((LONGEST_SIDE, LONGEST_SIDE), Image.Resampling.LANCZOS, reducing_gap=3.0)
    coloured = _srgb(plain, profile)
    return coloured if turn is None else coloured.transpose(turn)


def _eight_bit(picture: Image.Image) -> Image.Image:
    """Sixteen bits a pixel scaled to eight; Pillow itself would cut the bright ones off."""
    if picture.mode.startswith("I"):
        return picture.convert("I").convert("F").point(lambda value: value * (1 / 257)).convert("L")
    return picture


def _on_white(picture: Image.Image) -> Image.Image:
    if "A" not in picture.getbands() and "transparency" not in picture.info:
        return picture if picture.mode in ("RGB", "L") else picture.convert("RGB")
    layered = picture.convert("RGBA")
    paper = Image.new("RGB", picture.size, "white")
    paper.paste(layered, mask=layered.getchannel("A"))
    return paper


def _srgb(picture: Image.Image, profile: object) -> Image.Image:
    if isinstance(profile, bytes) and picture.mode in ("RGB", "CMYK"):
        try:
            converted = ImageCms.profileToProfile(
                picture,
                ImageCms.ImageCmsProfile(io.BytesIO(profile)),
                ImageCms.createProfile("sRGB"),
                outputMode="RGB",
            )
        except (ImageCms.PyCMSError, OSError):
            # A profile that is damaged or of another kind: colours a little off, the picture still of use.
            converted = None
        if converted is not None:
            return converted
    return picture.convert("RGB")


_ORIENTATION: Final = 0x0112
_TURNS: Final = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}


def _turn(picture: Image.Image) -> Image.Transpose | None:
    """The turn that the camera asks for, after Exif 2.32 tag Orientation."""
    try:
        asked = picture.getexif().get(_ORIENTATION)
    except _BROKEN:
        # Camera data that cannot be read turn nothing; the picture itself is good.
        return None
    return _TURNS.get(asked) if isinstance(asked, int) else None
