"""The verdict on a gain in one word, by rules that stand on the methods page `verdict`, and what to do next.

The one place that decides: calculation, shop, page and command all ask here.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Literal

from floorwright.basis.quantity import plain_number
from floorwright.basis.sentence import Sentence, joined, said
from floorwright.basis.stat.intervals import Interval

VerdictWord = Literal["proven", "likely", "not shown", "worse"]
Better = Literal["lower", "higher"]


@dataclass(frozen=True, slots=True, kw_only=True)
class TooFew:
    """Why there is no verdict yet: a sentence, how many more are needed (None: nobody can say), what to do."""

    sentence: str
    more: int | None
    remedy: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Cap:
    """Something that keeps a verdict from being more than likely: why, and what to do about it."""

    why: str
    remedy: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Judgement:
    """A verdict with the rule that was applied.

    Attributes:
        verdict: proven, likely, not shown, worse; None while there are too few readings.
        rule: the rule as a sentence.
        ruled_out: whether a gain of the smallest size that matters is ruled out.
        too_few: why there is no verdict; None where there is one.
        capped_by: what kept a verdict from being proven.
        at_odds: whether the always-valid interval shows a gain that matters and the fixed-sample one does not, as
            where the means and the ranks tell different stories.
    """

    verdict: VerdictWord | None
    rule: Sentence
    ruled_out: bool = False
    too_few: TooFew | None = None
    capped_by: tuple[Cap, ...] = ()
    at_odds: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Advice:
    """Whether enough was timed: the state, about how many more (None where nobody can say), one sentence."""

    state: Literal["enough", "keep timing"]
    more: float | None
    sentence: str


def _bare(value: float) -> str:
    return plain_number(value, 3)


def judge_gain(
    *,
    estimate: float,
    fixed: Interval,
    proof: Interval | None,
    better: Better = "lower",
    smallest: float = 0.0,
    too_few: TooFew | None = None,
    caps: Sequence[Cap] = (),
    planned: bool = False,
    confidence: float = 0.95,
    show: Callable[[float], str] = _bare,
) -> Judgement:
    """Judge a difference (after - before) by its intervals.

    The two may be of different kinds: where ranks are reported, `fixed` is that of the shift and `proof` that of
    the means. Only what both show is proven or ruled out.

    Args:
        estimate: the difference that is reported.
        fixed: its fixed-sample interval.
        proof: the always-valid interval, or the fixed one where the number of readings was planned; None where
            it is too early for one.
        better: which way a gain lies.
        smallest: the smallest gain that matters, 0 or more.
        too_few: why there cannot be a verdict yet.
        caps: what keeps the verdict from being more than likely.
        planned: whether the number of readings was fixed beforehand.
        confidence: of the intervals, for the sentence.
        show: writes a difference with its unit.
    """
    if too_few is not None:
        return Judgement(verdict=None, rule=said("No verdict yet: {why}.", why=too_few.sentence), too_few=too_few)
    gain = -estimate if better == "lower" else estimate
    fixed_gain, proof_gain = _gain(fixed, better), None if proof is None else _gain(proof, better)
    ruled_out = proof_gain is not None and max(proof_gain.high, fixed_gain.high) < smallest
    fixed_shows, proof_shows = (
        each is not None and each.low > max(smallest, 0) for each in (fixed_gain, proof_gain)
    )
    at_odds = proof_shows and not fixed_shows
    percent = f"{100 * confidence:g}"
    fixed_name = said("fixed-sample {percent} % interval", percent=percent)
    name = (
        said("planned {percent} % interval", percent=percent)
        if planned
        else said("always-valid {percent} % interval", percent=percent)
    )
    beyond = said("a gain of more than {size}", size=show(smallest)) if smallest else said("a gain")

    def judged(verdict: VerdictWord, rule: Sentence) -> Judgement:
        capped = tuple(caps) if verdict == "likely" else ()
        return Judgement(verdict=verdict, rule=rule, ruled_out=ruled_out, capped_by=capped, at_odds=at_odds)

    if proof_shows and fixed_shows:
        if not caps:
            return judged("proven", said("Proven: the whole {interval} shows {what}.", interval=name, what=beyond))
        rule = said(
            "Likely, not proven, though the whole {interval} shows {what}: {why}.",
            interval=name,
            what=beyond,
            why=joined((cap.why for cap in caps), "; "),
        )
        return judged("likely", rule)
    if fixed_gain.high < 0:
        return judged("worse", said("Worse: the whole {interval} shows a loss.", interval=fixed_name))
    if fixed_gain.low > 0 and gain >= smallest:
        what = said("a gain of about {size}", size=show(gain)) if smallest else said("a gain")
        reason = (
            said("it still holds gains smaller than {size}", size=show(smallest))
            if at_odds
            else _not_yet(proof_gain, smallest, name, show)
        )
        rule = said(
            "Likely, not proven: the whole {interval} shows {what}, but {reason}.",
            interval=fixed_name,
            what=what,
            reason=reason,
        )
        return judged("likely", rule)
    return judged("not shown", _not_shown(gain, fixed_gain, smallest, ruled_out, show))


def _not_yet(proof_gain: Interval | None, smallest: float, name: str, show: Callable[[float], str]) -> Sentence:
    """What the always-valid interval lacks for a proof."""
    if proof_gain is None:
        return said("it is too early for an {interval}", interval=name)
    if proof_gain.low > 0:
        return said("the {interval} still holds gains smaller than {size}", interval=name, size=show(smallest))
    return said("the {interval} still holds smaller gains, or none", interval=name)


def _not_shown(
    gain: float, fixed_gain: Interval, smallest: float, ruled_out: bool, show: Callable[[float], str]
) -> Sentence:
    if ruled_out:
        if smallest:
            return said("Not shown: a gain of {size} or more is ruled out.", size=show(smallest))
        return said("Not shown: a gain is ruled out.")
    if fixed_gain.low > 0:
        return said(
            "Not shown: the gain of about {size} is smaller than the {smallest} that matter.",
            size=show(gain),
            smallest=show(smallest),
        )
    return said("Not shown: no gain at all would fit these readings too.")


def _gain(interval: Interval, better: Better) -> Interval:
    """An interval of a difference, turned so that a gain is above 0."""
    return Interval(-interval.high, -interval.low) if better == "lower" else interval


def advise(
    judgement: Judgement,
    needed: Callable[[], float | None],
    *,
    what: str = "readings after the change",
    count: Callable[[float], str] = _bare,
    smallest: str = "",
) -> Advice:
    """Say whether enough was timed.

    Args:
        judgement: the verdict.
        needed: works out about how many more would let the always-valid interval settle the question, from
            what is known now; None where hundreds would not. Only asked when it matters.
        what: what is to be timed or counted more of.
        count: writes how many more.
        smallest: the smallest gain that matters, with its unit; "" where none was given.
    """
    if judgement.too_few is not None:
        return Advice(state="keep timing", more=judgement.too_few.more, sentence=judgement.too_few.remedy)
    if judgement.verdict == "proven":
        sentence = said("Enough: the gain is proven. Measure again after 30 and 90 days.")
        return Advice(state="enough", more=0, sentence=sentence)
    if judgement.verdict == "worse":
        sentence = said("Enough: it got worse. Find out why before you go on.")
        return Advice(state="enough", more=0, sentence=sentence)
    if judgement.capped_by:
        remedies = joined(cap.remedy for cap in judgement.capped_by)
        return Advice(state="keep timing", more=None, sentence=remedies)
    if judgement.ruled_out:
        sentence = (
            said("Enough: a gain of {smallest} or more is ruled out.", smallest=smallest)
            if smallest
            else said("Enough: a gain is ruled out.")
        )
        return Advice(state="enough", more=0, sentence=sentence)
    if judgement.at_odds:
        sentence = said(
            "The two intervals disagree: look for odd readings, find out what happened there, and mark as foreign "
            "what was; then judge again."
        )
        return Advice(state="keep timing", more=None, sentence=sentence)
    more = needed()
    if more is None:
        sentence = said(
            "Enough for now: more {what} would hardly settle it; the effect lies too close to what is asked.",
            what=what,
        )
        return Advice(state="enough", more=None, sentence=sentence)
    more = max(more, 1)
    sentence = said("Take about {count} more {what} before you decide.", count=count(more), what=what)
    return Advice(state="keep timing", more=more, sentence=sentence)
