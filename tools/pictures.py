"""Draw the README's pictures anew from the demo: `python tools/pictures.py` (for maintainers).

Pages are rendered by the typesetter itself, so that the pictures are what a printer would print.
"""

from __future__ import annotations

import io
import tempfile
from pathlib import Path

from PIL import Image

from floorwright.cli.demo import build
from floorwright.report import preview_improvement, preview_summary
from floorwright.report.assemble import improvement_page
from floorwright.report.assemble_shop import shop_summary
from floorwright.shop.gains import gains
from floorwright.shop.story import stories

OUT = Path(__file__).resolve().parent.parent / "docs" / "pictures"
DPI = 110


def main() -> None:
    """Write the page of the first improvement and the page of the shop."""
    OUT.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as folder:
        shop = build(Path(folder) / "demo", say=lambda line: None)
        told = stories(shop)
        pages = {
            "improvement.png": preview_improvement(improvement_page(told[0], shop.photos.read), dpi=DPI)[0],
            "shop.png": preview_summary(shop_summary(told, gains(shop)), dpi=DPI)[0],
        }
        shop.close()
    for name, data in pages.items():
        # 128 colours are plenty for a page and a third of the size.
        picture = Image.open(io.BytesIO(data)).convert("RGB").quantize(128)
        picture.save(OUT / name, optimize=True)
        print(OUT / name, (OUT / name).stat().st_size)


if __name__ == "__main__":
    main()
