"""`push`: the force of a push or pull that people find acceptable, and how many accept a given one."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, Final

from pydantic import Field

from floorwright.basis.calculation import Calculation
from floorwright.basis.check import Check, Verdict
from floorwright.basis.fields import Distance, Input, Measure, Plain
from floorwright.basis.mechanics import PositiveLength
from floorwright.basis.outcome import Outcome
from floorwright.basis.people.pushing import KGF, Acceptable, Action, Factor, Phase, Sex, acceptable
from floorwright.basis.people.tables import row
from floorwright.basis.quantity import FORCE, Dimension, Quantity, write
from floorwright.basis.working import Given, Step, Working

PER_CENT: Final = Dimension("percent", {"%": 1.0, "percent": 1.0, "": 1.0}, "", "", "75")
AIM: Final = 90.0
REDESIGN: Final = 75.0
"""Share of women who should accept it, and below which the work is redesigned (Liberty Mutual's tradition)."""
NAMES: Final[dict[Factor, str]] = {"V": "hand_height", "DH": "distance", "F": "frequency"}
_FILTER: Final[dict[tuple[Phase, Sex], str]] = {
    ("initial", "male"): "SL01",
    ("initial", "female"): "SL02",
    ("sustained", "male"): "SL03",
    ("sustained", "female"): "SL04",
}


class PushInput(Input):
    """Input of `push`."""

    action: Action = Field(description="push or pull")
    phase: Phase = Field(description="initial: to start or stop it; sustained: to keep it moving")
    hand_height: PositiveLength = Field(description="height of the hands above the floor")
    distance: Distance = Field(description="how far each time")
    frequency: Annotated[float, Plain(above=0, at_most=1000)] = Field(description="how often a minute (plain)")
    sex: Sex = Field(description="of the people whose acceptance counts")
    percent: Annotated[float, Measure(PER_CENT, at_least=0.1, at_most=99.9)] = Field(
        75.0, description="share of people who find it acceptable, in per cent (plain)"
    )
    force: Annotated[float, Measure(FORCE, above=0)] | None = Field(
        None, description="a force, to tell how many accept it"
    )


def run(given: PushInput) -> Outcome:
    """Work out what is acceptable."""
    found = acceptable(
        given.action,
        given.phase,
        given.sex,
        hand_m=given.hand_height,
        distance_m=given.distance,
        per_min=given.frequency,
    )
    accepted = found.force_n(given.percent / 100)
    percent = None if given.force is None else 100 * found.share(given.force)
    limit = row("push_pull_screening", _FILTER[given.phase, given.sex])
    return Outcome(
        results={
            "acceptable_force": Quantity(accepted, FORCE),
            "percent": given.percent,
            "percent_acceptable": percent,
            "mean_force": Quantity(found.mean_n, FORCE),
            "moved_into_range": [NAMES[name] for name in found.moved],
            "screening_force": Quantity(float(limit["value"]) * KGF, FORCE),
            "screening_source": limit["source"],
        },
        working=_working(given, found, accepted, percent),
        checks=() if given.force is None or percent is None else (_check(given, found, percent, accepted),),
        warnings=tuple(_warnings(given, found)),
        sources=("potvin_2021", "potvin_2021_ranges", "hse_indg143", "ansur_ii"),
    )


def _check(given: PushInput, found: Acceptable, percent: float, accepted: float) -> Check:
    wanted = max(given.percent, AIM) if given.sex == "female" else given.percent
    close_from = min(given.percent, REDESIGN) if given.sex == "female" else given.percent
    verdict: Verdict = "ok" if percent >= wanted else "close" if percent >= close_from else "fails"
    who = "women" if given.sex == "female" else "men"
    sentence = f"{percent:.1f} % of {who} find {given.force:.0f} N acceptable; aim for {wanted:.0f} %."
    if found.harder and verdict != "fails":
        verdict = "unknown"
        names = " and ".join(NAMES[name].replace("_", " ") for name in found.harder)
        sentence = f"The equations do not reach this {names}; measure how people take it, or change it."
    return Check(
        name=f"{given.action}, {given.phase}",
        case=who,
        demand=Quantity(given.force or 0.0, FORCE),
        capacity=Quantity(accepted, FORCE),
        ratio=(given.force or 0.0) / accepted if accepted > 0 else None,
        verdict=verdict,
        sentence=sentence,
        source="potvin_2021",
    )


def _warnings(given: PushInput, found: Acceptable) -> Iterator[str]:
    words = {"V": "m", "DH": "m", "F": "a minute"}
    asked = {"V": given.hand_height, "DH": given.distance, "F": given.frequency}
    for name in found.moved:
        safe = "the people may accept less" if name in found.harder else "which is on the safe side"
        yield (
            f"{NAMES[name]}: {asked[name]:.4g} {words[name]} is outside the fitted range and was taken as "
            f"{found.used[name]:.4g} {words[name]}; {safe}."
        )
    handle = row("rules_of_practice", "RP04")
    low, high = float(handle["low"]) / 1e3, float(handle["high"]) / 1e3
    if not low <= given.hand_height <= high:
        yield (
            f"A fixed handle does best between {low:.2f} and {high:.2f} m ({handle['source']}); "
            "the equations are no reason to set it elsewhere."
        )
    accepted = found.force_n(given.percent / 100)
    limit = float(row("push_pull_screening", _FILTER[given.phase, given.sex])["value"]) * KGF
    if accepted > 1.5 * limit:
        yield f"The screening value of HSE, {write(limit, FORCE)}, is well below; look closer first."


def _working(given: PushInput, found: Acceptable, accepted: float, percent: float | None) -> Working:
    curves = found.equation.curves
    steps = [
        Step("K_V", curves["V"].formula("V"), found.factors["V"], "", "factor of the hand height", "potvin_2021"),
        Step("K_D", curves["DH"].formula("DH"), found.factors["DH"], "", "factor of the distance", "potvin_2021"),
        Step("K_F", curves["F"].formula("F"), found.factors["F"], "", "factor of the frequency", "potvin_2021"),
        Step("M", "RL * 9.80665 * K_V * K_D * K_F", found.mean_n, "N", "force that half accept", "potvin_2021"),
        Step("A", "max(0, M * (1 - z(p) * CV))", accepted, "N", "force that the share accepts", "potvin_2021"),
    ]
    givens = [
        Given("V", found.used["V"], "m", "height of the hands, as used"),
        Given("DH", found.used["DH"], "m", "distance, as used"),
        Given("F", found.used["F"], "1/min", "how often, as used"),
        Given("RL", found.equation.reference_kgf, "kgf", "reference force"),
        Given("CV", found.equation.cv, "", "coefficient of variation among people"),
        Given("p", given.percent / 100, "", "share who find it acceptable"),
    ]
    if given.force is not None and percent is not None:
        givens.append(Given("f", given.force, "N", "force asked about"))
        normal = (found.mean_n - given.force) / (found.mean_n * found.equation.cv)
        steps += [
            Step("u", "(M - f) / (M * CV)", normal, "", "deviations below the mean"),
            Step("P", "", percent, "%", "share who accept it", "potvin_2021", "normal distribution up to u"),
        ]
    return Working(
        title=f"Acceptable {given.phase} {given.action} ({given.sex})",
        given=tuple(givens),
        assumptions=(
            "good floor contact, two hands, no obstacle to the feet",
            "ranges of the inputs are from memory of the source",
            *_moved(found),
            *_disputed(given),
        ),
        steps=tuple(steps),
    )


def _moved(found: Acceptable) -> Iterator[str]:
    for name in found.moved:
        yield f"{NAMES[name].replace('_', ' ')} moved to the edge of the fitted range"


def _disputed(given: PushInput) -> Iterator[str]:
    if (given.action, given.phase, given.sex) == ("push", "sustained", "male"):
        yield "one digit of the height factor is disputed: 0.6887 is taken, 0.6687 would give about 5 % more"


CALCULATION = Calculation(
    name="push",
    title="Acceptable push",
    question="What push or pull do people find acceptable, and how many accept this one?",
    input=PushInput,
    run=run,
    example={
        "action": "push",
        "phase": "initial",
        "hand_height": "1 m",
        "distance": "25 ft",
        "frequency": 1,
        "sex": "female",
        "percent": 75,
        "force": "40 lbf",
    },
)
