"""The working of a control chart: centre line, limits, capability."""

from __future__ import annotations

from typing import Final

from floorwright.basis.stat.quantiles import two_sided_z
from floorwright.basis.working import Given, Step, Working
from floorwright.hold.capability import Capability
from floorwright.hold.chart_input import Kind, Prepared
from floorwright.hold.chart_limits import D2_PAIR, D4_PAIR, Chart

_SOURCE: Final = "western_electric_1956"
_CAPABILITY_SOURCE: Final = "nist_handbook"


def chart_working(
    kind: Kind, prepared: Prepared, chart: Chart, able: Capability | None, confidence: float
) -> Working:
    """Everything from the points that set the limits to the limits, and to Cp and Cpk."""
    unit = prepared.dimension.si if prepared.dimension else ""
    if kind == "xmr":
        givens, steps = _individuals(prepared, chart, unit)
    elif kind in ("xbar_r", "xbar_s"):
        givens, steps = _subgroups(prepared, chart, unit, by_range=kind == "xbar_r")
    elif kind == "c":
        givens, steps = _events(prepared, chart)
    else:
        givens, steps = _sized(kind, prepared, chart)
    if able is not None:
        more, found = _capability(prepared, able, unit, confidence)
        givens += more
        steps += found
    return Working(
        title=f"Control chart, {kind}",
        given=tuple(givens),
        assumptions=(
            f"limits rest on the first {prepared.baseline} points and stay as they are",
            "limits lie three standard deviations from the centre line",
            *_assumptions(kind),
        ),
        steps=tuple(steps),
    )


def _assumptions(kind: Kind) -> tuple[str, ...]:
    if kind == "xmr":
        return ("readings do not depend on one another", "constants 1.128 and 3.267 as printed for pairs")
    if kind in ("xbar_r", "xbar_s"):
        return ("what varies within a subgroup is chance alone", "constants computed, not rounded as in tables")
    if kind in ("p", "np"):
        return ("every piece has the same chance of a fault, whatever its neighbours",)
    return ("faults come independently, at the same rate throughout",)


def _individuals(prepared: Prepared, chart: Chart, unit: str) -> tuple[list[Given], list[Step]]:
    k, second = prepared.baseline, chart.second
    assert second is not None  # noqa: S101  single readings always have moving ranges
    givens = [
        Given("x", prepared.points[:k], unit, "readings that set the limits"),
        Given("d2", D2_PAIR, "", "mean range of two readings, in standard deviations"),
        Given("D4", D4_PAIR, "", "upper limit of a range of two, in mean ranges"),
    ]
    steps = [
        Step("centre", "mean(x)", chart.centre[0], unit, "centre line", _SOURCE),
        Step(
            "MR",
            "",
            second.points[: k - 1],
            unit,
            "moving ranges",
            _SOURCE,
            "each reading less the one before, without its sign",
        ),
        Step("MR_bar", "mean(MR)", second.centre, unit, "mean moving range", _SOURCE),
        Step("sigma", "MR_bar / d2", chart.sigma or 0.0, unit, "standard deviation of single readings", _SOURCE),
        Step("upper", "centre + 3 * sigma", chart.upper[0], unit, "upper limit", _SOURCE),
        Step("lower", "centre - 3 * sigma", chart.lower[0], unit, "lower limit", _SOURCE),
        Step("MR_upper", "D4 * MR_bar", second.upper, unit, "upper limit of the moving ranges", _SOURCE),
    ]
    return givens, steps


def _subgroups(prepared: Prepared, chart: Chart, unit: str, *, by_range: bool) -> tuple[list[Given], list[Step]]:
    k, second, constants = prepared.baseline, chart.second, chart.constants
    assert second is not None  # noqa: S101  subgroups always have both
    assert constants is not None  # noqa: S101
    spread, what = ("R", "range") if by_range else ("s", "standard deviation")
    flat = tuple(x for group in prepared.groups[:k] for x in group)
    givens = [
        Given("x", flat, unit, "readings that set the limits, subgroup by subgroup"),
        Given("n", constants.n, "", "readings in a subgroup"),
    ]
    if by_range:
        givens += [
            Given("d2", constants.d2, "", "mean range of n readings, in standard deviations"),
            Given("d3", constants.d3, "", "standard deviation of that range"),
        ]
        unbias, reach = "d2", "3 * d3 / d2"
    else:
        givens.append(Given("c4", constants.c4, "", "mean standard deviation of n readings, in true ones"))
        unbias, reach = "c4", "3 * sqrt(1 - c4 ** 2) / c4"
    steps = [
        Step("x_bar", "", chart.points[:k], unit, "means of the subgroups", "", "one for each subgroup"),
        Step(spread, "", second.points[:k], unit, f"{what}s of the subgroups", "", "one for each subgroup"),
        Step("centre", "mean(x_bar)", chart.centre[0], unit, "centre line", _SOURCE),
        Step(f"{spread}_bar", f"mean({spread})", second.centre, unit, f"mean {what}", _SOURCE),
        Step(
            "sigma",
            f"{spread}_bar / {unbias}",
            chart.sigma or 0.0,
            unit,
            "standard deviation of single readings",
            _SOURCE,
        ),
        Step("upper", "centre + 3 * sigma / sqrt(n)", chart.upper[0], unit, "upper limit", _SOURCE),
        Step("lower", "centre - 3 * sigma / sqrt(n)", chart.lower[0], unit, "lower limit", _SOURCE),
        Step(
            f"{spread}_upper",
            f"{spread}_bar * (1 + {reach})",
            second.upper,
            unit,
            f"upper limit of the {what}s",
            _SOURCE,
        ),
        Step(
            f"{spread}_lower",
            f"{spread}_bar * max(0, 1 - {reach})",
            second.lower,
            unit,
            f"lower limit of the {what}s",
            _SOURCE,
        ),
    ]
    return givens, steps


def _events(prepared: Prepared, chart: Chart) -> tuple[list[Given], list[Step]]:
    givens = [Given("c", prepared.points[: prepared.baseline], "", "counts that set the limits")]
    steps = [
        Step("centre", "mean(c)", chart.centre[0], "", "centre line", _SOURCE),
        Step("sigma", "sqrt(centre)", chart.point_sigma[0], "", "standard deviation of a count", _SOURCE),
        *_limits(chart),
    ]
    return givens, steps


def _sized(kind: Kind, prepared: Prepared, chart: Chart) -> tuple[list[Given], list[Step]]:
    k = prepared.baseline
    givens = [
        Given("c", prepared.points[:k], "", "counts that set the limits"),
        Given("N", prepared.sizes[:k], "", "what they were counted over"),
    ]
    formula, whole = {
        "p": ("sqrt(p * (1 - p) / n)", "p"),
        "np": ("sqrt(n * p * (1 - p))", "n * p"),
        "u": ("sqrt(p / n)", "p"),
    }[kind]
    share = chart.centre[0] / prepared.sizes[0] if kind == "np" else chart.centre[0]
    mean_of = "mean rate" if kind == "u" else "mean share"
    steps = [Step("p", "sum(c) / sum(N)", share, "", mean_of, _SOURCE)]
    if chart.varies:
        note = f"for each point, from its own size n: {whole} ± 3 {formula.replace(' * ', ' ')}"
        if kind == "np":
            steps.append(Step("centre", "", chart.centre, "", "centre line, point by point", _SOURCE, "n p"))
        steps += [
            Step("upper", "", chart.upper, "", "upper limit, point by point", _SOURCE, note),
            Step("lower", "", chart.lower, "", "lower limit, point by point", _SOURCE, f"{note}, 0 at least"),
        ]
    else:
        givens.append(Given("n", prepared.sizes[0], "", "size, the same throughout"))
        steps += [
            Step("centre", whole, chart.centre[0], "", "centre line", _SOURCE),
            Step("sigma", formula, chart.point_sigma[0], "", "standard deviation of a point", _SOURCE),
            *_limits(chart),
        ]
    return givens, steps


def _limits(chart: Chart) -> list[Step]:
    return [
        Step("upper", "centre + 3 * sigma", chart.upper[0], "", "upper limit", _SOURCE),
        Step("lower", "max(0, centre - 3 * sigma)", chart.lower[0], "", "lower limit, 0 at least", _SOURCE),
    ]


def _capability(
    prepared: Prepared, able: Capability, unit: str, confidence: float
) -> tuple[list[Given], list[Step]]:
    lower, upper = prepared.spec or (None, None)
    readings = prepared.baseline * (len(prepared.groups[0]) if prepared.groups else 1)
    givens = [
        Given("k", readings, "", "readings behind sigma"),
        Given("C", confidence, "", "confidence"),
    ]
    sides = []
    if upper is not None:
        givens.append(Given("USL", upper, unit, "highest value allowed"))
        sides.append("USL - centre")
    if lower is not None:
        givens.append(Given("LSL", lower, unit, "lowest value allowed"))
        sides.append("centre - LSL")
    source = _CAPABILITY_SOURCE
    steps: list[Step] = []
    if able.Cp is not None and able.Cp_interval is not None:
        note = "chi-squared distribution with k - 1 degrees of freedom"
        steps += [
            Step("Cp", "(USL - LSL) / (6 * sigma)", able.Cp, "", "capability, were it centred", source),
            Step("Cp_low", "", able.Cp_interval.low, "", "lower end of its interval", source, note),
            Step("Cp_high", "", able.Cp_interval.high, "", "upper end of its interval", source, note),
        ]
    nearest = f"min({', '.join(sides)})" if len(sides) == 2 else f"({sides[0]})"
    q = two_sided_z(confidence)
    steps += [
        Step("Cpk", f"{nearest} / (3 * sigma)", able.Cpk, "", "capability to the nearer limit", source),
        Step("q", "z(0.5 + C / 2)", q, "", "quantile of the normal distribution"),
        Step(
            "reach",
            "q * sqrt(1 / (9 * k) + Cpk ** 2 / (2 * (k - 1)))",
            able.Cpk_interval.high - able.Cpk,
            "",
            "half the width of its interval",
            source,
        ),
        Step("Cpk_low", "Cpk - reach", able.Cpk_interval.low, "", "lower end of its interval", source),
        Step("Cpk_high", "Cpk + reach", able.Cpk_interval.high, "", "upper end of its interval", source),
    ]
    return givens, steps
