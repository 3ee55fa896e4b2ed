"""The shop on one sheet: what is banked, freed and hoped for, each improvement, and what to look at next."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from floorwright.draw.money import LedgerBar, ledger_bars
from floorwright.draw.picture import Picture
from floorwright.prove.ledger import Ledger
from floorwright.report.assemble import not_money, number_row
from floorwright.report.page import Amount, Mark, NextStep, ShopSummary, SummaryRow
from floorwright.shop.records import MeasureKind, Phase
from floorwright.shop.story import Story
from floorwright.shop.words import NO_MONEY, money_text, payback_text

_COLUMNS: Final = (
    ("Lift index", (MeasureKind.LIFT,)),
    ("Scratches, touches, searches", (MeasureKind.COUNTS, MeasureKind.SHARES)),
    ("Floor space", (MeasureKind.SPACE, MeasureKind.DENSITY)),
    ("Push force", (MeasureKind.FORCE,)),
)
MOST_STEPS: Final = 4


def shop_summary(told: Sequence[Story], book: Ledger) -> ShopSummary:
    """The printed page of the shop, from the stories of its improvements and its ledger.

    Raises:
        ValueError: the shop has no improvement yet.
    """
    if not told:
        raise ValueError("the shop has no improvement yet")
    settings, today = told[0].settings, told[0].today
    columns = [
        (heading, kinds)
        for heading, kinds in _COLUMNS
        if any(proof.measure.kind in kinds for each in told for proof in each.proofs[1:] or each.proofs)
    ]
    first = min(each.record.noticed_on for each in told)
    return ShopSummary(
        shop=settings.name,
        period=f"{first:%B %Y} to {today:%B %Y}",
        date=today.isoformat(),
        amounts=tuple(_amounts(book, settings.currency)),
        rows=tuple(_row(each, columns) for each in told if each.phase is not Phase.DROPPED),
        next_steps=tuple(_next_steps(told)),
        rate=f"{book.rate_sentence} The three are never added up." if book.rate_sentence else "",
        ledger=_chart(book),
        gain_columns=tuple(heading for heading, _ in columns),
        paper=settings.paper,
    )


def _amounts(book: Ledger, currency: str) -> list[Amount]:
    banked, freed, hoped = (book.sum(standing) for standing in ("banked", "freed", "hoped"))
    return [
        Amount(
            label="Banked",
            value=f"{money_text(float(banked.money), currency)} a year",
            note=f"{banked.hours:,.0f} h a year, proven and turned into money.",
        ),
        Amount(
            label="Freed",
            value=f"{freed.hours:,.0f} h a year",
            note="Proven, and nothing is done with the time yet: no money claimed.",
        ),
        Amount(
            label="Hoped for",
            value=f"{hoped.hours:,.0f} h a year",
            note="Likely or still to be shown. Not counted on.",
        ),
    ]


def _chart(book: Ledger) -> Picture | None:
    banked, freed, hoped = (float(book.sum(standing).hours) for standing in ("banked", "freed", "hoped"))
    if not any((banked, freed, hoped)):
        return None
    return ledger_bars(
        [LedgerBar(label="All", banked=banked, freed=freed, hoped=hoped)], currency="", unit="hours a year"
    )


def _row(told: Story, columns: Sequence[tuple[str, Sequence[MeasureKind]]]) -> SummaryRow:
    record, system = told.record, told.settings.units
    main = number_row(told.proofs[0], system) if told.proofs else None
    mark: Mark = main.mark if main is not None else "waiting"
    worth = NO_MONEY
    if told.money.outcome is not None:
        mean = money_text(told.money.outcome.results["annual"]["mean"], told.settings.currency)
        worth = f"hoped: {mean}" if told.money.standing == "hoped" else mean
    difference = ""
    if main is not None and main.difference:
        difference = f"{main.difference} ({main.interval})" if main.interval else main.difference
    return SummaryRow(
        title=record.title,
        area=record.area,
        waste_kind=record.waste.value,
        before=main.before if main is not None else "",
        after=main.after if main is not None else "",
        gain=difference,
        verdict=main.verdict if main is not None else "only an idea",
        mark=mark,
        worth=worth if told.proofs else "",
        payback=payback_text(told.money).split(" (")[0],
        other=tuple(_other(told, kinds) for _, kinds in columns),
    )


def _other(told: Story, kinds: Sequence[MeasureKind]) -> str:
    """The gain of a measure that is not money, in its own column."""
    for proof in told.proofs:
        if proof.measure.kind in kinds and (gain := not_money(proof, told.settings.units)) is not None:
            return gain.value
    return ""


def _next_steps(told: Sequence[Story]) -> list[NextStep]:
    """What to look at next: what is worse or overdue first, then what is nearest to a proof."""

    def urgency(each: Story) -> tuple[int, int]:
        words = {proof.verdict for proof in each.proofs}
        late = any(
            proof.follow_up is not None
            and proof.follow_up.next is not None
            and proof.follow_up.next.state in ("due", "overdue")
            for proof in each.proofs
        )
        rank = 0 if "worse" in words else 1 if late else 2 if "likely" in words else 3
        return rank, each.filed.id

    alive = [each for each in told if each.phase is not Phase.DROPPED]
    return [
        NextStep(what=each.next_step, why=f"No. {each.filed.id}, {each.record.title}")
        for each in sorted(alive, key=urgency)[:MOST_STEPS]
    ]
