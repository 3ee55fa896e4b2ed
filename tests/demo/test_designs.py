"""The designs of the demo: rated in the end, replaced where the first did not hold, true to what was counted."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from demo.told import Read, Told
from floorwright import bootstrap
from floorwright.basis.errors import InputError
from floorwright.cli.demo import build
from floorwright.exchange.improvement_file import read_improvement
from floorwright.propose.aid.design import Design, design
from floorwright.propose.aid.registry import PATTERNS
from floorwright.shop.aids import kept_aids
from floorwright.shop.improvements import history
from floorwright.shop.ports import Shop

# Folder -> pattern, verdict, working load in lb.
KEPT = {
    "13-panels-on-edge": ("panel_cart", "ok", 8 * 20),
    "14-tube-cart": ("bar_cart", "ok", 249.5),  # 48 tubes of 8 ft; 0.649 lb/ft as sold
    "15-roof-trestles": ("settling_trestle", "close", 350),
    "16-notcher-on-wheels": ("free_frame", "ok", 118 + 85),
}
LB = 0.45359237


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shop]:
    found = build(tmp_path_factory.mktemp("demo") / "x", say=lambda line: None)
    yield found
    found.close()


def spec(told: dict[str, Told], name: str) -> dict[str, Any]:
    return tomllib.loads((told[name].folder / "aid.toml").read_text(encoding="utf-8"))


def made(told: dict[str, Told], name: str) -> Design:
    return design(spec(told, name))


def test_every_pattern_has_a_design_that_is_rated(shop: Shop, told: dict[str, Told]) -> None:
    numbers = {int(name[:2]): name for name in told}
    kept = {numbers[each.id]: each.record.proposal for each in kept_aids(shop)}
    assert set(kept) == set(KEPT)
    assert {pattern for pattern, _, _ in KEPT.values()} == set(PATTERNS)
    for name, (pattern, verdict, pounds) in KEPT.items():
        found = kept[name]
        assert found is not None
        assert (found.pattern, found.verdict, found.why_not) == (pattern, verdict, ()), found.first
        assert found.rated_kg == pytest.approx(pounds * LB, rel=0.002)
        assert found.counts["fails"] == found.counts["unknown"] == 0


def test_the_day_of_a_check_is_the_day_of_its_step(shop: Shop, told: dict[str, Told]) -> None:
    for each in kept_aids(shop):
        days = [
            step.on for t in told.values() if int(t.folder.name[:2]) == each.id for step in t.file.steps if step.aid
        ]
        assert each.record.proposal is not None
        assert each.record.proposal.checked_on == max(days)


def test_history_shows_the_first_panel_cart_and_why_it_was_replaced(shop: Shop) -> None:
    first, second = (
        entry for entry in history(shop, 13) if any(each.path.startswith("proposal") for each in entry.changes)
    )
    changes = {each.path: (each.before, each.after) for each in second.changes}
    assert changes["proposal.verdict"] == ("fails", "ok")
    assert changes["proposal.why_not[0]"] == ("casters: rating", None)
    assert changes["proposal.spec.wheels.rating"] == ("250 lb", "500 lb")
    assert "uneven floor" in second.reason
    assert first.at < second.at


def test_the_tube_cart_is_compared_with_the_floor_that_was_counted(
    told: dict[str, Told], studies: dict[tuple[str, str, str], Read]
) -> None:
    counted = studies["14-tube-cart", "tubes per square foot", "before"].series.values
    per_m2 = sum(counted) / len(counted)
    today = spec(told, "14-tube-cart")["today"]
    said = today["pieces"] / (float(today["floor_area"].removesuffix(" ft2")) * 0.3048**2)
    assert said == pytest.approx(per_m2, rel=0.05)
    found = made(told, "14-tube-cart")
    length, width, _ = found.layout.size
    assert 48 / (length * width) >= 3 * per_m2
    floor = next(each.check for each in found.findings if each.check.name == "floor")
    assert floor.verdict == "ok"
    assert "the aim is 3 times" in floor.sentence


@pytest.mark.parametrize(
    ("step", "says"),
    [
        ('aid = "aid.toml"\nset.ask = "Ines"', "give either set or aid"),
        ("", "give either set or aid"),
        ('aid = "aid.toml"\ncorrects = true\nreason = "x"', "leave out corrects"),
    ],
)
def test_a_step_is_one_thing(tmp_path: Path, step: str, says: str) -> None:
    file = tmp_path / "x.toml"
    file.write_text(FIRST + f'[[steps]]\non = 2026-11-02\nwho = "Odell"\n{step}\n', encoding="utf-8")
    with pytest.raises(InputError, match=says):
        read_improvement(file)


FIRST = """\
title = "Cart"
waste = "space"
area = "Welding"
noticed_by = "Odell"
noticed_on = 2026-11-01
"""


def add(shop: Shop, folder: Path, text: str) -> Any:
    (folder / "x.toml").write_text(FIRST.replace("2026-11-01\n", f"2026-11-01\n{text}"), encoding="utf-8")
    return bootstrap.add_from_file(shop, read_improvement(folder / "x.toml"), folder, lambda line: None)


def test_a_design_of_the_first_day_is_kept_with_its_title_as_the_change(shop: Shop, tmp_path: Path) -> None:
    (tmp_path / "cart.toml").write_text(PATTERNS["panel_cart"].example, encoding="utf-8")
    filed = add(shop, tmp_path, 'aid = "cart.toml"\n')
    assert filed.record.countermeasure == "Cart for painted panels"
    assert filed.record.proposal is not None
    assert filed.record.proposal.pattern == "panel_cart"
    assert history(shop, filed.id)[-1].who == "Odell"


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (None, "cannot be read"),
        (PATTERNS["panel_cart"].example.replace("slots = 10", "slots = 0"), "cart.toml, slots"),
        (
            PATTERNS["free_frame"].example.replace('kind = "welded"', 'kind = "pinned"'),
            "cart.toml: is no frame that stands",
        ),
    ],
)
def test_a_design_that_cannot_be_stores_nothing(shop: Shop, tmp_path: Path, text: str | None, says: str) -> None:
    before = len(kept_aids(shop))
    if text is not None:
        (tmp_path / "cart.toml").write_text(text, encoding="utf-8")
    with pytest.raises(InputError, match=says):
        add(shop, tmp_path, 'aid = "cart.toml"\n')
    assert len(kept_aids(shop)) == before
