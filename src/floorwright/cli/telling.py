"""An improvement's story as text for the terminal."""

from __future__ import annotations

from collections.abc import Sequence

from floorwright.basis.quantity import UnitSystem
from floorwright.cli.screen import facts, paragraph, plain, table
from floorwright.shop.proof import Proof, Side
from floorwright.shop.showing import number_text
from floorwright.shop.story import Story
from floorwright.shop.words import (
    hours_text,
    payback_text,
    rate_text,
    shown_unit,
    verdict_text,
    worth_text,
)


def told(story: Story) -> str:
    """Title, a table of its measures, what it is worth, what comes next."""
    record, system = story.record, story.settings.units
    where = f"   {record.waste.value} | {plain(record.area)} | {story.phase.value}"
    parts = [facts({str(story.filed.id): record.title}), where]
    if story.proofs:
        parts.append(_measures(story.proofs, system))
        parts += [paragraph(note, indent="   ") for proof in story.proofs for note in _notes(proof)]
    parts.append(facts(_what_follows(story), indent="   "))
    return "\n".join(part for part in parts if part)


def _measures(proofs: Sequence[Proof], system: UnitSystem) -> str:
    """A table of the measures; the unit stands once, beside the name."""
    rows = []
    for proof in proofs:
        unit, factor = shown_unit(proof, system)
        before, after = (_level(side, factor) for side in (proof.before, proof.after))
        rows.append([f"{proof.measure.name} ({unit})", before, after, _gain(proof, factor), verdict_text(proof)])
    headings = ["measure (unit)", "before (n)", "after (n)", "change (interval)", "verdict"]
    return table(headings, rows, indent="   ", wrap="a")


def _level(side: Side | None, factor: float) -> str:
    if side is None or side.level is None:
        return "-"
    counted = f"{side.series.events:g} in {side.series.exposure:g}" if side.series.exposure else str(side.n)
    return f"{number_text(side.level * factor)} ({counted})"


def _gain(proof: Proof, factor: float) -> str:
    """ "-90.7 (-116 to -70.9)": after minus before, with the interval that the verdict rests on."""
    if proof.difference is None:
        return ""
    change = number_text(proof.difference * factor)
    span = proof.interval
    if span is None or span.low_si is None or span.high_si is None:
        return f"{change} (no interval)"
    return f"{change} ({number_text(span.low_si * factor)} to {number_text(span.high_si * factor)})"


def _what_follows(story: Story) -> dict[str, str]:
    money = story.money
    why = _why(story.proofs[0]) if story.proofs else ""
    rate = rate_text(money.rate, story.settings) if money.outcome is not None or money.one_off is not None else ""
    cost = f"{story.settings.currency}{money.one_off:,.2f}" if money.one_off is not None else ""
    standing = {"banked": "banked", "freed": "freed", "hoped": "hoped for"}.get(money.standing, "")
    hours = hours_text(money.hours_per_year)
    return {
        "Why": why,
        "Timing": _advice(story.proofs[0]) if story.proofs else "",
        "Time": f"{hours}, {standing}" if hours and standing else hours,
        "Worth": worth_text(money, story.settings) if story.proofs else "",
        "Cost": cost,
        "Payback": payback_text(money),
        "Rate": rate,
        "Next": story.next_step,
    }


def _advice(proof: Proof) -> str:
    """Enough, or keep timing, while somebody still might."""
    return str(proof.outcome.results["advice"]["sentence"]) if proof.outcome is not None else ""


def _notes(proof: Proof) -> list[str]:
    return [f"{proof.measure.name}: {note[:1].lower()}{note[1:].rstrip('.')}." for note in proof.notes]


def _why(proof: Proof) -> str:
    if proof.outcome is None:
        return ""
    warnings = " ".join(proof.outcome.warnings[:2])
    return f"{proof.outcome.results['rule']} {warnings}".strip()
