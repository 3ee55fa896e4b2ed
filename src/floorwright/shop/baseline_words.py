"""What a study says, in words: the same in the terminal and on the page."""

from __future__ import annotations

from typing import Final

from floorwright.basis.outcome import Outcome
from floorwright.basis.quantity import DISTANCE, UnitSystem, write
from floorwright.basis.sentence import Sentence, joined, said, said_n
from floorwright.shop.baseline import Baseline
from floorwright.shop.improvements import MINIMUM_CYCLES
from floorwright.shop.proof import Proof
from floorwright.shop.records import MeasureKind
from floorwright.shop.series import TOTALS
from floorwright.shop.showing import level_text

LEGS_SHOWN: Final = 8  # of the from-to chart, those with the most walking


def legs_text(walks: Outcome, system: UnitSystem) -> list[tuple[str, ...]]:
    """The legs of a from-to chart with the most walking: from, to, trips, each, in all, share."""
    return [
        (
            each["from"],
            each["to"],
            f"{each['count']:g}",
            write(each["distance_m"], DISTANCE, system),
            write(each["total_m"], DISTANCE, system),
            f"{each['share']:.0%}",
        )
        for each in walks.results["chart"][:LEGS_SHOWN]
    ]


def how_many(found: Baseline) -> str:
    """How many readings are enough: for a verdict, and for the mean within 5 %; "" where that does not apply."""
    have = len(found.series.points)
    if not have or found.measure.kind in TOTALS:
        return ""
    short = max(0, MINIMUM_CYCLES - have)
    least = said("a verdict needs {least} readings; take {short} more", least=MINIMUM_CYCLES, short=short)
    if found.sample is None:
        return least if short else ""
    needed, more = found.sample.results["observations"], found.sample.results["more_needed"]
    mean = said("{needed} readings give the mean within 5 %", needed=f"{needed:,}")
    if more <= short:
        return least if short else said("enough: {mean}", mean=mean)
    if short:
        return said("{least}; {mean}", least=least, mean=mean)
    return said("{mean}, if you need it that close; take {more} more for that", mean=mean, more=f"{more:,}")


def to_see(found: Baseline, system: UnitSystem) -> str:
    """How many readings would show the smallest change that matters; "" where nobody can say."""
    if found.to_see is None or found.study.record.moment != "before":
        return ""
    smallest = level_text(found.measure, found.measure.smallest_that_matters, system)
    counted = {MeasureKind.COUNTS: said("exposure"), MeasureKind.SHARES: said("looks")}
    return said(
        "about {needed} {counted} before and after show a change of {smallest}, four times in five",
        needed=f"{found.to_see.results['observations_each']:,}",
        counted=counted.get(found.measure.kind, said("readings")),
        smallest=smallest,
    )


def how_many_more(proof: Proof, found: Baseline) -> tuple[int, Sentence | None]:
    """How many readings a study still lacks, and what they are for; 0 where enough is there.

    What was fixed beforehand comes first, then the least that anything is said from, then what the smallest change
    that matters asks for.
    """
    study, n = found.study.record, len(found.series.points)
    if study.planned is not None and n < study.planned:
        left = study.planned - n
        what = said_n(
            "{n} more of the {planned} fixed beforehand.",
            "{n} more of the {planned} fixed beforehand.",
            left,
            planned=study.planned,
        )
        return left, what
    if proof.measure.kind not in TOTALS and n < MINIMUM_CYCLES:
        left = MINIMUM_CYCLES - n
        return left, said_n(
            "{n} more before anything is said from it.", "{n} more before anything is said from it.", left
        )
    if study.moment == "after" and proof.outcome is not None:
        advice = proof.outcome.results["advice"]
        # What is lacking is told by the result itself; a number beside it would say the same twice.
        return 0, joined([advice["sentence"]])
    if study.moment == "before" and proof.outcome is None and found.to_see is not None:
        each = int(found.to_see.results["observations_each"])
        if n < each:
            return 0, said(
                "{each} before and as many after would show the smallest change that matters, four times in five.",
                each=each,
            )
    return 0, None
