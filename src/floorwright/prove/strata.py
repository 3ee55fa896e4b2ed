"""Like compared with like: differences within parts, drivers or operators, weighted by the mix after the change."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from floorwright.basis.stat.intervals import Interval
from floorwright.basis.stat.quantiles import t_p_value, two_sided_t
from floorwright.basis.stat.summary import Moments, moments
from floorwright.basis.working import Given, Step
from floorwright.prove.effect import Explanation, interval_steps, t_steps

_FEWEST_EACH: Final = 2
_EXPLAINED_UP_TO: Final = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class Levelled:
    """A stratified comparison: sum over strata of share_after x (mean_after - mean_before).

    Attributes:
        names: the strata that are compared.
        shares: share of each in the after readings that are compared.
        parts: moments before and after of each.
        left_out: readings without a match on the other side.
        before, after: the readings with the differences between strata taken out, such that their means and the
            standard errors of these are those of the comparison; for tests of order and always-valid intervals.
        aligned_before, aligned_after: readings less the mean of their stratum over both sides, for rank tests
            (Hodges and Lehmann, Annals of Mathematical Statistics 33 (1962) 482-497).
        difference, standard_error, df, t, p_value, interval: of the comparison; df after Satterthwaite.
        ratio, ratio_interval: mean after over the mean before at the same mix.
    """

    names: tuple[str, ...]
    shares: tuple[float, ...]
    parts: tuple[tuple[Moments, Moments], ...]
    left_out: int
    before: list[float]
    after: list[float]
    aligned_before: list[float]
    aligned_after: list[float]
    difference: float
    standard_error: float
    df: float
    t: float
    p_value: float
    interval: Interval
    ratio: float | None
    ratio_interval: Interval | None
    confidence: float

    def explanation(self, unit: str) -> Explanation:
        """The working: every stratum, then their weighted sum."""
        given: list[Given] = [Given("conf", self.confidence, "", "confidence")]
        steps: list[Step] = []
        if len(self.names) <= _EXPLAINED_UP_TO:
            for k in range(1, len(self.names) + 1):
                given += self._givens(k, unit)
                steps += self._variances(k)
        steps += self._total(unit)
        return Explanation(
            title="Times before against after, like with like",
            given=tuple(given),
            assumptions=(
                "readings are independent of one another within each part, driver or operator",
                "the mix after the change is the one that counts",
            ),
            steps=tuple(steps),
            sources=("cochran_1954", "welch_1947", "mann_whitney_1947", "hodges_lehmann_1963", "waudby_smith_2024"),
        )

    def _givens(self, k: int, unit: str) -> Iterator[Given]:
        name, (b, a) = self.names[k - 1], self.parts[k - 1]
        yield Given(f"w_{k}", self.shares[k - 1], "", f"share of {name} in the readings after")
        for symbol, part, words in (("b", b, "before"), ("a", a, "after")):
            yield Given(f"n_{symbol}{k}", part.n, "", f"readings of {name} {words}")
            yield Given(f"m_{symbol}{k}", part.mean, unit, f"mean of {name} {words}")
            yield Given(f"s_{symbol}{k}", part.sd, unit, f"sd of {name} {words}")

    def _variances(self, k: int) -> Iterator[Step]:
        name, share = self.names[k - 1], self.shares[k - 1]
        for symbol, part, words in zip("ba", self.parts[k - 1], ("before", "after"), strict=True):
            formula = f"w_{k}**2 * s_{symbol}{k}**2 / n_{symbol}{k}"
            meaning = f"variance that {name} {words} adds"
            yield Step(f"v_{symbol}{k}", formula, share**2 * part.variance_of_mean, "", meaning, "cochran_1954")

    def _total(self, unit: str) -> Iterator[Step]:
        """The weighted sum, its standard error and interval; with very many strata in words."""
        each = range(1, len(self.names) + 1) if len(self.names) <= _EXPLAINED_UP_TO else range(0)
        ends = [(side, k) for k in each for side in "ba"]
        note = "" if each else f"over {len(self.names)} strata, too many to list"
        sum_text = " + ".join(f"w_{k} * (m_a{k} - m_b{k})" for k in each)
        meaning = "difference at the mix after the change"
        yield Step("d", sum_text, self.difference, unit, meaning, "cochran_1954", note)
        se_text = f"sqrt({' + '.join(f'v_{side}{k}' for side, k in ends)})" if each else ""
        yield Step("se", se_text, self.standard_error, unit, "its standard error", "welch_1947", note)
        if not self.standard_error:
            return
        tails = " + ".join(f"v_{side}{k}**2 / (n_{side}{k} - 1)" for side, k in ends)
        formula = f"se**4 / ({tails})" if each else ""
        yield Step("df", formula, self.df, "", "degrees of freedom", "welch_1947", note)
        yield from interval_steps(self.difference, self.standard_error, self.df, self.confidence, unit)
        yield from t_steps(self.t, self.standard_error, self.p_value, "welch_1947")


def level_out(
    before: Sequence[float], after: Sequence[float], strata: tuple[list[str], list[str]], confidence: float
) -> Levelled | None:
    """Compare within the strata that have 2 or more readings on both sides; None where there is none."""
    old, new = _grouped(before, strata[0]), _grouped(after, strata[1])
    names = [name for name in new if len(new[name]) >= _FEWEST_EACH and len(old.get(name, ())) >= _FEWEST_EACH]
    if not names:
        return None
    parts = {name: (moments(old[name]), moments(new[name])) for name in names}
    total_after = sum(a.n for _, a in parts.values())
    total_before = sum(b.n for b, _ in parts.values())
    shares = {name: a.n / total_after for name, (_, a) in parts.items()}
    level_before = math.fsum(shares[name] * b.mean for name, (b, _) in parts.items())
    level_after = math.fsum(shares[name] * a.mean for name, (_, a) in parts.items())
    kept_b = [(x, name) for x, name in zip(before, strata[0], strict=True) if name in parts]
    kept_a = [(x, name) for x, name in zip(after, strata[1], strict=True) if name in parts]
    variances = [
        (shares[name] ** 2 * side.variance_of_mean, side.n - 1) for name, pair in parts.items() for side in pair
    ]
    se = math.sqrt(math.fsum(v for v, _ in variances))
    tail = math.fsum(v * v / dof for v, dof in variances)
    df = se**4 / tail if tail else float(total_before + total_after - 2 * len(names))
    difference = level_after - level_before
    reach = two_sided_t(confidence, df) * se
    t = difference / se if se else math.copysign(math.inf, difference) if difference else 0.0

    def around(level: float, value: float, name: str, side: int, total: int) -> float:
        """Residuals, scaled so that the variance of their mean is that of the weighted mean."""
        part = parts[name][side]
        return level + shares[name] * total / part.n * math.sqrt(part.n / (part.n - 1)) * (value - part.mean)

    def aligned(value: float, name: str) -> float:
        return value - 0.5 * (parts[name][0].mean + parts[name][1].mean)

    ratio, ratio_interval = _ratio(
        level_before, level_after, list(parts.values()), list(shares.values()), confidence
    )
    return Levelled(
        names=tuple(names),
        shares=tuple(shares.values()),
        parts=tuple(parts.values()),
        left_out=len(before) + len(after) - total_before - total_after,
        before=[around(level_before, x, name, 0, total_before) for x, name in kept_b],
        after=[around(level_after, x, name, 1, total_after) for x, name in kept_a],
        aligned_before=[aligned(x, name) for x, name in kept_b],
        aligned_after=[aligned(x, name) for x, name in kept_a],
        difference=difference,
        standard_error=se,
        df=df,
        t=t,
        p_value=t_p_value(t, df),
        interval=Interval(difference - reach, difference + reach),
        ratio=ratio,
        ratio_interval=ratio_interval,
        confidence=confidence,
    )


def _grouped(values: Sequence[float], labels: Sequence[str]) -> dict[str, list[float]]:
    groups: dict[str, list[float]] = {}
    for value, label in zip(values, labels, strict=True):
        groups.setdefault(label, []).append(value)
    return groups


def _ratio(
    before: float,
    after: float,
    parts: Sequence[tuple[Moments, Moments]],
    shares: Sequence[float],
    confidence: float,
) -> tuple[float | None, Interval | None]:
    """Mean after over mean before at the same mix, with the delta method on the logarithm."""
    if not (before > 0 and after > 0):
        return (after / before if before else None), None
    terms = [
        ((share / level) ** 2 * part.variance_of_mean, part.n - 1)
        for share, pair in zip(shares, parts, strict=True)
        for part, level in zip(pair, (before, after), strict=True)
    ]
    variance = math.fsum(v for v, _ in terms)
    tail = math.fsum(v * v / dof for v, dof in terms)
    ratio = after / before
    if not tail:
        return ratio, Interval(ratio, ratio)
    reach = two_sided_t(confidence, variance**2 / tail) * math.sqrt(variance)
    return ratio, Interval(ratio * math.exp(-reach), ratio * math.exp(reach))
