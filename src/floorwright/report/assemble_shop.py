"""The shop on one sheet: what is banked, freed and hoped for, each improvement, and what to look at next."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from floorwright.basis.sentence import capital
from floorwright.draw.money import LedgerBar, ledger_bars
from floorwright.draw.picture import Picture, Size
from floorwright.prove.ledger import TIME, Column, Ledger
from floorwright.report.assemble import next_text
from floorwright.report.assemble_numbers import number_row
from floorwright.report.page import Amount, Gain, NextStep, ShopSummary, SummaryRow
from floorwright.shop.proof import Proof
from floorwright.shop.records import MeasureKind, Phase
from floorwright.shop.showing import DIMENSION, number_text, unit_of
from floorwright.shop.story import Story
from floorwright.shop.words import MINUS, NO_MONEY, SumText, money_text, payback_text, sum_text

MOST_STEPS: Final = 4
MOST_MEASURES: Final = 3
BY_THE_LEDGER: Final = (
    "Banked is by the ledger, before upkeep: where a later reading of the same work shows less, the later one "
    "counts, so it can differ from an improvement's own page."
)
_LEDGER: Final = Size(256, 100)


def shop_summary(told: Sequence[Story], book: Ledger) -> ShopSummary:
    """The printed page of the shop, from the stories of its improvements and its ledger.

    Raises:
        ValueError: the shop has no improvement yet.
    """
    if not told:
        raise ValueError("the shop has no improvement yet")
    settings, today = told[0].settings, told[0].today
    first = min(each.record.noticed_on for each in told)
    return ShopSummary(
        shop=settings.name,
        period=f"{first:%B %Y} to {today:%B %Y}",
        date=today.isoformat(),
        amounts=tuple(_amounts(book, settings.currency)),
        amounts_note=f"{BY_THE_LEDGER} Ranges: {100 * settings.confidence:g} % intervals."
        if book.sum("banked").hours
        else "",
        rows=tuple(_row(each) for each in told if each.phase is not Phase.DROPPED),
        next_steps=tuple(_next_steps(told)),
        rate=f"{book.rate_sentence(settings.currency)} Banked, freed and hoped for are never added up."
        if book.rates
        else "",
        ledger=_chart(book),
        gains=tuple(_gains(told, book)),
        paper=settings.paper,
    )


def _amounts(book: Ledger, currency: str) -> list[Amount]:
    banked, freed, hoped = (sum_text(book.sum(standing), currency) for standing in ("banked", "freed", "hoped"))
    money = f"{banked.money_range}; " if banked.money_range else ""
    return [
        Amount(
            label="Banked",
            value=f"{banked.money} a year",
            note=capital(f"{money}{banked.hours_whole} a year. Proven and turned into money."),
        ),
        Amount(
            label="Freed",
            value=f"{freed.hours} a year",
            note=f"{_range(freed)}Proven, but nothing is done with the time yet: no money.",
        ),
        Amount(
            label="Hoped for",
            value=f"{hoped.hours} a year",
            note=f"{_range(hoped)}Likely, or still to be shown. Not counted on.",
        ),
    ]


def _range(found: SumText) -> str:
    return f"{found.hours_range} h. " if found.hours_range else ""


def _chart(book: Ledger) -> Picture | None:
    banked, freed, hoped = (float(book.sum(standing).hours) for standing in ("banked", "freed", "hoped"))
    if not any((banked, freed, hoped)):
        return None
    bar = LedgerBar(label="All", banked=banked, freed=freed, hoped=hoped)
    return ledger_bars([bar], currency="", unit="hours a year", size=_LEDGER)


def _gains(told: Sequence[Story], book: Ledger) -> list[Gain]:
    """Proven gains that are not money, each in a column of its own."""
    by_number = {each.filed.id: each for each in told}
    found = []
    for line in book.lines:
        column, number = line.entry.column, line.entry.improvement
        if column is TIME or line.entry.withdrawn_on is not None or line.entry.verdict != "proven":
            continue
        told_by = by_number[number]
        proof = next((each for each in told_by.proofs if _fills(column, each)), None)
        unit, factor = (column.unit, 1.0) if proof is None else unit_of(proof.measure, told_by.settings.units)
        gain = line.gain / 1e6 * factor
        sign = "+" if (column.better == "higher") == (gain >= 0) else MINUS
        found.append(Gain(name=f"{column.name}, no. {number}", value=f"{sign}{number_text(abs(gain))} {unit}"))
    return found


def _fills(column: Column, proof: Proof) -> bool:
    """Whether a measure is what a column of the ledger counts."""
    dimension = DIMENSION.get(proof.measure.kind)
    if proof.measure.kind is MeasureKind.LIFT:
        return column.unit == unit_of(proof.measure, "si")[0]
    return proof.measure.name == column.name if dimension is None else dimension.si == column.unit


def _row(told: Story) -> SummaryRow:
    record, currency = told.record, told.settings.currency
    # What got worse must not be what finds no room.
    others = sorted(told.proofs[1:], key=lambda each: each.verdict != "worse")
    shown = [*told.proofs[:1], *others][:MOST_MEASURES]
    worth, worth_range = NO_MONEY if told.proofs else "", ""
    if told.money.outcome is not None:
        annual = told.money.outcome.results["annual"]
        mean, low, high = (money_text(annual[key], currency) for key in ("mean", "p05", "p95"))
        worth = f"hoped: {mean}" if told.money.standing == "hoped" else mean
        worth_range = f"{low} to {high}"
    return SummaryRow(
        number=str(told.filed.id),
        title=record.title,
        area=record.area,
        waste_kind="" if record.waste.value == "other" else record.waste.value,
        measures=tuple(number_row(each, told.settings.units) for each in shown),
        worth=worth,
        worth_range=worth_range,
        payback=payback_text(told.money).split(" (")[0],
        note="" if told.proofs else "Only an idea: nothing to measure is named yet.",
    )


def _next_steps(told: Sequence[Story]) -> list[NextStep]:
    """What to look at next: what is lost, worse or overdue first, then what is nearest to a proof."""

    def urgency(each: Story) -> tuple[int, int]:
        words = {proof.verdict for proof in each.proofs}
        late = any(
            proof.follow_up is not None
            and proof.follow_up.next is not None
            and proof.follow_up.next.state in ("due", "overdue")
            for proof in each.proofs
        )
        lost = any(proof.held is False for proof in each.proofs)
        rank = 0 if lost or "worse" in words else 1 if late else 2 if "likely" in words else 3
        return rank, each.filed.id

    alive = [each for each in told if each.phase is not Phase.DROPPED]
    return [
        NextStep(what=next_text(each), why=f"No. {each.filed.id}, {each.record.title}{_got_worse(each)}")
        for each in sorted(alive, key=urgency)[:MOST_STEPS]
    ]


def _got_worse(told: Story) -> str:
    """What got worse, unless the next step says so itself."""
    names = [proof.measure.name for proof in told.proofs if proof.verdict == "worse"]
    return f"; {names[0]} got worse" if names and names[0] not in told.next_step else ""
