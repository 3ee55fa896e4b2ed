"""Control charts: is the process steady, and which points want looking at?"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final

from floorwright.basis.calculation import Calculation
from floorwright.basis.outcome import Outcome, Span
from floorwright.basis.quantity import Dimension, Quantity
from floorwright.hold import chart_limits
from floorwright.hold.capability import Capability, capability
from floorwright.hold.chart_input import ControlChartInput, Kind, Prepared, cross_checks, prepare
from floorwright.hold.chart_limits import Chart, SecondChart
from floorwright.hold.chart_working import chart_working
from floorwright.hold.run_rules import MEANING, RuleName, Signal, beyond, zone_signals, zones

_FEW_POINTS: Final = 20


def run(given: ControlChartInput) -> Outcome:
    """Limits from the baseline, points marked by the rules, capability where a specification is given."""
    prepared = prepare(given)
    chart = _chart(given.kind, prepared)
    signals = mark(chart, given.rules)
    able = _capability(given, prepared, chart)
    return Outcome(
        results=_results(chart, prepared.dimension) | _signal_records(signals) | _capability_record(able),
        working=chart_working(given.kind, prepared, chart, able, given.confidence),
        warnings=_warnings(given, prepared, chart, signals),
        sources=_sources(given),
    )


def mark(chart: Chart, rules: Sequence[RuleName]) -> tuple[Signal, ...]:
    """Points of the main chart that the rules mark, in order of the points."""
    found = list(zone_signals(zones(chart.points, chart.centre, chart.point_sigma), rules))
    if "beyond_limit" in rules:
        found += [Signal(point, "beyond_limit") for point in beyond(chart.points, chart.lower, chart.upper)]
    order = {rule: place for place, rule in enumerate(MEANING)}
    return tuple(sorted(found, key=lambda signal: (signal.point, order[signal.rule])))


def _chart(kind: Kind, prepared: Prepared) -> Chart:
    points, sizes, k = prepared.points, prepared.sizes, prepared.baseline
    if kind == "xmr":
        return chart_limits.individuals(points, k)
    if kind in ("xbar_r", "xbar_s"):
        return chart_limits.subgroup_means(prepared.groups, k, by_range=kind == "xbar_r")
    if kind == "p":
        return chart_limits.shares(points, sizes, k)
    if kind == "np":
        return chart_limits.numbers(points, sizes, k)
    if kind == "c":
        return chart_limits.events(points, k)
    return chart_limits.rates(points, sizes, k)


def _capability(given: ControlChartInput, prepared: Prepared, chart: Chart) -> Capability | None:
    if prepared.spec is None or not chart.sigma:
        return None
    readings = prepared.baseline * (len(prepared.groups[0]) if prepared.groups else 1)
    lower, upper = prepared.spec
    return capability(
        mean=chart.centre[0],
        sigma=chart.sigma,
        n=readings,
        lower=lower,
        upper=upper,
        confidence=given.confidence,
    )


def _results(chart: Chart, dimension: Dimension | None) -> dict[str, Any]:
    def shown(value: float) -> Any:
        return Quantity(value, dimension) if dimension else value

    def line(values: tuple[float, ...]) -> Any:
        alike = len(set(values)) == 1 or not chart.varies
        return shown(values[0]) if alike else list(values)

    results: dict[str, Any] = {
        "centre": line(chart.centre),
        "lower": line(chart.lower),
        "upper": line(chart.upper),
        "sigma": list(chart.point_sigma) if chart.sigma is None else shown(chart.sigma),
    }
    second: SecondChart | None = chart.second
    if second is not None:
        results |= {
            "range_centre": shown(second.centre),
            "range_lower": shown(second.lower),
            "range_upper": shown(second.upper),
            "range_signals": [
                point + second.first - 1
                for point in beyond(
                    second.points, (second.lower,) * len(second.points), (second.upper,) * len(second.points)
                )
            ],
        }
    return results


def _signal_records(signals: Sequence[Signal]) -> dict[str, Any]:
    return {"signals": [{"point": signal.point, "rule": signal.rule} for signal in signals]}


def _capability_record(able: Capability | None) -> dict[str, Any]:
    if able is None:
        return {}
    both = able.Cp_interval
    return {
        "Cp": able.Cp,
        "Cp_interval": None if both is None else Span(both.low, both.high),
        "Cpk": able.Cpk,
        "Cpk_interval": Span(able.Cpk_interval.low, able.Cpk_interval.high),
    }


def _warnings(
    given: ControlChartInput, prepared: Prepared, chart: Chart, signals: Sequence[Signal]
) -> tuple[str, ...]:
    texts = []
    if prepared.baseline < _FEW_POINTS:
        texts.append(
            f"The limits rest on {prepared.baseline} points; take {_FEW_POINTS} or more before you rely on them."
        )
    inside = sorted({signal.point for signal in signals if signal.point <= prepared.baseline})
    if inside:
        texts.append(
            f"Points that set the limits are marked themselves ({', '.join(map(str, inside[:10]))}): find out what "
            "happened, and set the limits again without them where a cause was found and removed."
        )
    if not any(chart.point_sigma):
        texts.append("The points that set the limits show no spread at all; look at how they were taken.")
    if len(given.rules) > 1:
        texts.append(
            "Every further rule marks more good points by chance: about 1 in 370 with limits alone, "
            "about 1 in 92 with the four rules of 1956."
        )
    if prepared.spec is not None and signals:
        texts.append("Cp and Cpk say little while points are marked: the process is not steady yet.")
    return tuple(texts)


def _sources(given: ControlChartInput) -> tuple[str, ...]:
    found = ["western_electric_1956", "nist_handbook"]
    if any(rule not in ("beyond_limit", "two_of_three", "four_of_five", "eight_same_side") for rule in given.rules):
        found.append("nelson_1984")
    return tuple(found)


CALCULATION = Calculation(
    name="control_chart",
    title="Control chart",
    question="Is it steady, and which points want looking at?",
    input=ControlChartInput,
    run=run,
    cross_checks=cross_checks,
    example={
        "kind": "xmr",
        "data": ["41 s", "43 s", "40 s", "42 s", "44 s", "41 s", "39 s", "42 s", "43 s", "41 s", "58 s", "42 s"],
        "baseline": 10,
        "rules": ["beyond_limit", "eight_same_side"],
        "specification": {"upper": "50 s"},
    },
)
