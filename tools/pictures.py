"""Draw the README's pictures anew from the demo: `python tools/pictures.py` (for maintainers).

Printed pages are rendered by the typesetter itself, so that the pictures are what a printer would print; pages of
the app are photographed in an installed Chrome or Chromium.
"""

from __future__ import annotations

import io
import sys
import tempfile
import tomllib
from collections.abc import Iterator
from pathlib import Path

from PIL import Image

from floorwright.cli.demo import build
from floorwright.propose.aid.design import design
from floorwright.propose.aid.registry import PATTERNS
from floorwright.report import preview_improvement, preview_summary
from floorwright.report.aid_drawing import AidDrawing, preview_drawing
from floorwright.report.assemble import improvement_page
from floorwright.report.assemble_shop import shop_summary
from floorwright.shop.gains import gains
from floorwright.shop.story import stories

sys.path.insert(0, str(Path(__file__).resolve().parent.parent / "tests"))
OUT = Path(__file__).resolve().parent.parent / "docs" / "pictures"
DPI = 110


def app_pages(folder: Path) -> Iterator[tuple[str, bytes]]:
    """Pages of the app on the demo shop: name of the picture and its PNG."""
    from playwright.sync_api import sync_playwright

    from browsing import browser_path
    from webapp import Server

    server = Server(folder).start()
    try:
        with sync_playwright() as playwright:
            browser = playwright.chromium.launch(executable_path=browser_path(), args=["--no-sandbox"])
            desk = browser.new_page(base_url=server.url, viewport={"width": 1280, "height": 880})
            for name, path in (
                ("app-today.png", "/"),
                ("app-results.png", "/improvements/1/results"),
                ("app-worth.png", "/improvements/1/worth"),
            ):
                desk.goto(path)
                desk.locator("progress").wait_for(state="detached", timeout=60_000)
                if name == "app-results.png":
                    desk.locator("#main h2").nth(1).evaluate("each => each.scrollIntoView()")
                yield name, desk.screenshot()
            yield "app-watch.png", watch_page(browser, server.url)
            browser.close()
    finally:
        server.stop()


def watch_page(browser: object, url: str) -> bytes:
    """The stopwatch in the middle of a study, on a phone whose clocks run as fast as laps need."""
    from browser.test_main_job import CLOCK

    context = browser.new_context(  # type: ignore[attr-defined]
        base_url=url, viewport={"width": 390, "height": 844}, is_mobile=True, has_touch=True, device_scale_factor=2
    )
    context.add_init_script(CLOCK)
    page = context.new_page()
    page.goto("/improvements/1/time")
    page.get_by_role("button", name="Start the watch").first.click()
    page.wait_for_selector("body[data-ready]")
    for seconds in (21.4, 3.2, 4.9, 19.8, 2.9, 5.3, 22.6):
        page.evaluate("seconds => passSeconds(seconds)", seconds)
        page.locator(".pad").first.click()
    page.evaluate("passSeconds(2.4)")
    page.wait_for_timeout(700)
    found: bytes = page.screenshot()
    return found


def drawing() -> bytes:
    """The first sheet of the drawing of a cart for long bars."""
    made = design(tomllib.loads(PATTERNS["bar_cart"].example)).proposal()
    sheet = AidDrawing(title=made.title, scene=made.scene, parts=made.parts, date="20 November 2026")
    return preview_drawing(sheet, dpi=DPI)[0]


def main() -> None:
    """Write the printed pages of an improvement and of the shop, and pages of the app."""
    OUT.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as folder:
        shop = build(Path(folder) / "demo", say=lambda line: None)
        told = stories(shop)
        pages = {
            "improvement.png": preview_improvement(improvement_page(told[0], shop.photos.read), dpi=DPI)[0],
            "shop.png": preview_summary(shop_summary(told, gains(shop)), dpi=DPI)[0],
            "aid-drawing.png": drawing(),
        }
        shop.close()
        pages |= dict(app_pages(Path(folder) / "demo" / "shop"))
    for name, data in pages.items():
        # 128 colours are plenty for a page and a third of the size.
        picture = Image.open(io.BytesIO(data)).convert("RGB").quantize(128)
        picture.save(OUT / name, optimize=True)
        print(OUT / name, (OUT / name).stat().st_size)


if __name__ == "__main__":
    main()
