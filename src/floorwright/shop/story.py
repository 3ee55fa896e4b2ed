"""An improvement with everything that page, paper and terminal tell about it, worked out once."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from floorwright.basis.sentence import Sentence, joined, said
from floorwright.shop.filed import Filed, load_settings
from floorwright.shop.improvements import MINIMUM_CYCLES, Overview, seen_all, seen_one
from floorwright.shop.money import Money, money_of
from floorwright.shop.ports import Shop, UnitOfWork
from floorwright.shop.proof import Proof, proofs_of
from floorwright.shop.records import Improvement, Phase, Settings, Study


@dataclass(frozen=True, slots=True, kw_only=True)
class Story:
    """One improvement as it stands on a day.

    Attributes:
        filed: the record.
        phase, next_step: where it stands and what comes next.
        proofs: what each of its measures shows, the main one first.
        money: what its gain is worth.
        settings: of the shop.
        today: the day it is told.
    """

    filed: Filed[Improvement]
    phase: Phase
    next_step: Sentence
    proofs: tuple[Proof, ...]
    money: Money
    settings: Settings
    today: dt.date

    @property
    def record(self) -> Improvement:
        """The improvement."""
        return self.filed.record


def story(shop: Shop, id_: int) -> Story:
    """The story of one improvement. Raises NotFoundError."""
    with shop.work() as work:
        settings = load_settings(work)
        seen, studies = seen_one(work, id_)
        return tell(work, seen, studies, settings, shop.clock.now().date())


def stories(shop: Shop) -> list[Story]:
    """The stories of all improvements, by number."""
    today = shop.clock.now().date()
    with shop.work() as work:
        settings = load_settings(work)
        return [tell(work, seen, studies, settings, today) for seen, studies in seen_all(work)]


def tell(
    work: UnitOfWork, seen: Overview, studies: list[Filed[Study]], settings: Settings, today: dt.date
) -> Story:
    """The story of one improvement that was seen already, inside a transaction that is open."""
    proofs = proofs_of(work, seen.filed, studies, settings, today)
    return Story(
        filed=seen.filed,
        phase=seen.phase,
        next_step=_next_step(seen, proofs),
        proofs=tuple(proofs),
        money=money_of(seen.filed.record, proofs, settings),
        settings=settings,
        today=today,
    )


def _next_step(seen: Overview, proofs: list[Proof]) -> Sentence:
    """What is lost comes first, then the decision after the trial, then a repeat that is due, then the record."""
    if seen.phase in (Phase.CHECK, Phase.ACT):
        lost = next((proof.measure.name for proof in proofs if proof.held is False), None)
        if lost is not None:
            return said("The gain in '{name}' has not held; go and see what has changed.", name=lost)
        decision = _decision(seen.filed.record, proofs)
        if seen.phase is Phase.CHECK and decision:
            return decision
        for proof in proofs:
            due = proof.follow_up.next if proof.follow_up else None
            if due is not None and due.state in ("due", "overdue") and proof.follow_up is not None:
                return said("'{name}': {what}", name=proof.measure.name, what=proof.follow_up.sentence)
    return seen.next_step


def _decision(record: Improvement, proofs: list[Proof]) -> Sentence | None:
    """What to do after the trial, by the verdict of the main measure; None while there is none to go by."""
    if not proofs:
        return None
    if proofs[0].outcome is None:
        sides = (proofs[0].before, proofs[0].after)
        stuck = all(side is not None and side.n >= MINIMUM_CYCLES for side in sides)
        return joined(proofs[0].notes[-1:]) if stuck else None
    advice = proofs[0].outcome.results["advice"]
    if advice["state"] == "keep timing":
        return joined([advice["sentence"]])
    worse = next((proof.measure.name for proof in proofs if proof.verdict == "worse"), None)
    if worse is not None:
        return said("'{name}' got worse: look at it together, then mend the change or drop it.", name=worse)
    if proofs[0].verdict == "not shown":
        return said("No gain is shown: look at it together, then change something else or drop it.")
    return _approve(likely=proofs[0].verdict == "likely", sign_off=_needs_sign_off(record))


def _needs_sign_off(record: Improvement) -> bool:
    return bool(record.cautions) and record.safety_approval is None


def _approve(*, likely: bool, sign_off: bool) -> Sentence:
    # Whole sentences: pieces put together read wrong in another language.
    if likely and sign_off:
        return said(
            "Look at the result together, then, though the gain is likely only, get the safety sign-off and "
            "approve it for use, or drop it."
        )
    if likely:
        return said(
            "Look at the result together, then, though the gain is likely only, approve it for use, or drop it."
        )
    if sign_off:
        return said("Look at the result together, then get the safety sign-off and approve it for use, or drop it.")
    return said("Look at the result together, then approve it for use, or drop it.")
