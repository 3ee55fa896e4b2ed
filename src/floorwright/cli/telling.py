"""An improvement's story as text for the terminal."""

from __future__ import annotations

from typing import Any

from floorwright.cli.common import facts, table
from floorwright.shop.proof import Proof
from floorwright.shop.story import Story
from floorwright.shop.words import (
    change_text,
    hours_text,
    payback_text,
    rate_text,
    side_text,
    verdict_text,
    worth_text,
)


def told(story: Story) -> str:
    """Title, a table of its measures, what it is worth, what comes next."""
    record, system = story.record, story.settings.units
    head = f"{story.filed.id}  {record.title}"
    where = f"   {record.waste.value} | {record.area} | {story.phase.value}"
    parts = [head, where]
    if story.proofs:
        rows = [
            [
                proof.measure.name,
                side_text(proof, proof.before, system),
                side_text(proof, proof.after, system),
                change_text(proof, system),
                verdict_text(proof),
            ]
            for proof in story.proofs
        ]
        parts.append(
            table(["measure", "before (n)", "after (n)", "gain with interval", "verdict"], rows, indent="   ")
        )
    parts.append(facts(_what_follows(story), indent="   "))
    return "\n".join(part for part in parts if part)


def _what_follows(story: Story) -> dict[str, str]:
    money = story.money
    why = _why(story.proofs[0]) if story.proofs else ""
    rate = rate_text(money.rate, story.settings) if money.outcome is not None or money.one_off is not None else ""
    cost = f"{story.settings.currency}{money.one_off:,}" if money.one_off is not None else ""
    standing = {"banked": "banked", "freed": "freed", "hoped": "hoped for"}.get(money.standing, "")
    hours = hours_text(money.hours_per_year)
    return {
        "Why": why,
        "Time": f"{hours}, {standing}" if hours and standing else hours,
        "Worth": worth_text(money, story.settings) if story.proofs else "",
        "Cost": cost,
        "Payback": payback_text(money),
        "Rate": rate,
        "Next": story.next_step,
    }


def _why(proof: Proof) -> str:
    if proof.outcome is None:
        return " ".join(proof.notes)
    warnings = " ".join(proof.outcome.warnings[:2])
    return f"{proof.outcome.results['rule']} {warnings}".strip()


def as_json(story: Story) -> dict[str, Any]:
    """A story for scripts: the record, and every proof as the calculation gave it."""
    money = story.money
    return {
        "number": story.filed.id,
        "title": story.record.title,
        "phase": story.phase.value,
        "next_step": story.next_step,
        "measures": [_proof_json(proof) for proof in story.proofs],
        "standing": money.standing,
        "reason": money.reason,
        "one_off": money.one_off,
        "rate": money.rate,
        "gain": money.outcome.to_record("gain", story.settings.units) if money.outcome else None,
    }


def _proof_json(proof: Proof) -> dict[str, Any]:
    return {
        "measure": proof.measure.name,
        "kind": proof.measure.kind.value,
        "verdict": proof.verdict,
        "held": proof.held,
        "before": {"n": proof.before.n, "level": proof.before.level} if proof.before else None,
        "after": {"n": proof.after.n, "level": proof.after.level} if proof.after else None,
        "again": {"n": proof.again.n, "level": proof.again.level} if proof.again else None,
        "compare": proof.outcome.to_record("compare") if proof.outcome else None,
        "compared_on": list(proof.compared_on),
        "notes": list(proof.notes),
        "due": [
            {"on": each.due_on, "state": each.state, "measured_on": each.measured_on}
            for each in (proof.follow_up.dates if proof.follow_up else ())
        ],
    }
