"""The demo shop, built once for the tests of what is printed of it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import pytest

from floorwright.cli.demo import build
from floorwright.prove.ledger import Ledger
from floorwright.report import ImprovementPage, ShopSummary
from floorwright.report.assemble import improvement_page
from floorwright.report.assemble_shop import shop_summary
from floorwright.shop.gains import gains
from floorwright.shop.ports import Shop
from floorwright.shop.story import Story, stories


@dataclass(frozen=True)
class Demo:
    """The stories of the demo shop and its ledger, with the shop open for its photos."""

    shop: Shop
    told: tuple[Story, ...]
    book: Ledger

    def story(self, number: int) -> Story:
        return next(each for each in self.told if each.filed.id == number)

    def page(self, number: int) -> ImprovementPage:
        return improvement_page(self.story(number), self.shop.photos.read)

    def summary(self) -> ShopSummary:
        return shop_summary(self.told, self.book)


@pytest.fixture(scope="session")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Demo]:
    shop = build(tmp_path_factory.mktemp("demo"), say=lambda line: None)
    yield Demo(shop=shop, told=tuple(stories(shop)), book=gains(shop))
    shop.close()
