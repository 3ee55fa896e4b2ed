"""An address as a picture to scan."""

from __future__ import annotations

import segno
from markupsafe import Markup


def qr_svg(address: str) -> Markup:
    """A QR code as SVG without styles of its own; a code of the full kind, which every phone reads."""
    code = segno.make(address, error="m", micro=False)
    drawn: str = code.svg_inline(scale=4, border=2, omitsize=True, svgclass=None, lineclass=None, dark="#000")
    return Markup(drawn)  # noqa: S704  the library draws paths alone
