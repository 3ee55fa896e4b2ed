"""Write the readings and photos of the demo shop into demo/: `python tools/make_demo.py`.

Everything is invented and comes from fixed seeds, so that the same files come out each time. The TOML files of
the demo are written by hand and left alone.
"""

from __future__ import annotations

import argparse
from collections.abc import Callable, Mapping
from functools import partial
from pathlib import Path
from typing import Final

from demo_shop import counted, scenes_aids, scenes_cut, scenes_finish, scenes_weld, timed

DEMO: Final = Path(__file__).resolve().parent.parent / "demo"

READINGS: Final[Mapping[str, Callable[[], bytes]]] = {
    "distances.csv": counted.distances,
    "improvements/01-clamps-to-the-bay/times-before.csv": timed.clamps_before,
    "improvements/01-clamps-to-the-bay/times-after.csv": timed.clamps_after,
    "improvements/01-clamps-to-the-bay/times-after-30-days.csv": timed.clamps_again,
    "improvements/01-clamps-to-the-bay/routes-before.csv": partial(counted.clamp_routes, "before"),
    "improvements/01-clamps-to-the-bay/routes-after.csv": partial(counted.clamp_routes, "after"),
    "improvements/02-clamp-tray/film-before.csv": partial(timed.tray, "before"),
    "improvements/02-clamp-tray/film-after.csv": partial(timed.tray, "after"),
    "improvements/03-list-on-the-laser-rack/searching.xlsx": timed.searching,
    "improvements/04-second-grinder/waiting-before.csv": partial(timed.grinder, "before"),
    "improvements/04-second-grinder/waiting-after.csv": partial(timed.grinder, "after"),
    "improvements/05-lined-slots/scratches-before.csv": partial(counted.scratches, "before"),
    "improvements/05-lined-slots/scratches-after.csv": partial(counted.scratches, "after"),
    "improvements/05-lined-slots/loading-before.csv": partial(timed.load_cart, "before"),
    "improvements/05-lined-slots/loading-after.csv": partial(timed.load_cart, "after"),
    "improvements/06-lift-table/lifts-before.csv": partial(counted.lifts, "before"),
    "improvements/06-lift-table/lifts-after.csv": partial(counted.lifts, "after"),
    "improvements/07-bar-cart/bars-before.csv": partial(counted.bars, "before"),
    "improvements/07-bar-cart/bars-after.csv": partial(counted.bars, "after"),
    "improvements/08-offcut-rack/scrap-tub.csv": counted.offcuts,
    "improvements/09-frames-on-one-cart/touches-before.csv": partial(counted.touches, "before"),
    "improvements/09-frames-on-one-cart/touches-after.csv": partial(counted.touches, "after"),
    "improvements/09-frames-on-one-cart/touches-after-30-days.csv": partial(counted.touches, "again"),
    "improvements/09-frames-on-one-cart/carrying-before.csv": partial(timed.carry_frames, "before"),
    "improvements/09-frames-on-one-cart/carrying-after.csv": partial(timed.carry_frames, "after"),
    "improvements/09-frames-on-one-cart/carrying-after-30-days.csv": partial(timed.carry_frames, "again"),
    "improvements/11-hardware-by-job/rounds-before.csv": counted.hardware_rounds,
    "improvements/12-bigger-wheels/pushes-before.csv": partial(counted.pushes, "before"),
    "improvements/12-bigger-wheels/pushes-after.csv": partial(counted.pushes, "after"),
    "improvements/13-panels-on-edge/scratches-before.csv": counted.panel_scratches,
    "improvements/14-tube-cart/tube-before.csv": counted.short_tube,
    "improvements/16-notcher-on-wheels/routes-before.csv": counted.notcher_routes,
}
PHOTOS: Final[Mapping[str, Callable[[], bytes]]] = {
    **scenes_weld.SCENES,
    **scenes_cut.SCENES,
    **scenes_finish.SCENES,
    **scenes_aids.SCENES,
}


def main() -> None:
    """Write all files, or only those whose path holds a word."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--into", type=Path, default=DEMO, help="another folder to write to")
    parser.add_argument("--only", default="", help="write only the files whose path holds this")
    arguments = parser.parse_args()
    makers = {name: make for name, make in {**READINGS, **PHOTOS}.items() if arguments.only in name}
    for name, make in makers.items():
        target = arguments.into / name
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_bytes(make())
        print(f"{name}: {target.stat().st_size / 1024:,.1f} kB")


if __name__ == "__main__":
    main()
