"""What to do first: worth, effort and chance of what is open, what is worth most together, and how sure that is."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from floorwright import catalogue
from floorwright.basis.errors import InputError, Problem
from floorwright.basis.outcome import Outcome
from floorwright.prove.order import Option, Placed, Range, order
from floorwright.shop.ports import Shop
from floorwright.shop.records import Phase
from floorwright.shop.showing import exact_text
from floorwright.shop.story import Story
from floorwright.shop.typed import number

OWNER: Final = "shop"
KIND: Final = "choosing"
NAME: Final = "asked"
MOST: Final = 60
_RANGE: Final = ("low", "likely", "high")
# Where nobody has said it: a proof is as good as sure, what is likely mostly works, the rest is even. No source.
_CHANCE: Final = {"proven": 95, "likely": 75, "not shown": 25, "worse": 10}


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What is asked.

    Attributes:
        options: what could be done, by the number of the improvement.
        budget: money there is.
        hours: hours there are; None for no limit.
        without: improvements that lack a worth, and so a place.
    """

    options: dict[int, Option]
    budget: float
    hours: float | None
    without: tuple[Story, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Chosen:
    """The answer.

    Attributes:
        told: the open improvements.
        asked: what was asked of them.
        outcome: of the calculation `choose`; None where none of them has a worth.
        placed: the order, and how sure each place is.
    """

    told: tuple[Story, ...]
    asked: Asked
    outcome: Outcome | None = None
    placed: tuple[Placed, ...] = ()


def open_ones(told: Iterable[Story]) -> list[Story]:
    """What can be chosen: neither in use nor dropped; the first sixty."""
    return [each for each in told if each.phase not in (Phase.ACT, Phase.DROPPED)][:MOST]


def standing(told: Iterable[Story]) -> dict[str, str]:
    """Worth, effort, cost and chance as the records have them, by the field that asks for each."""
    found = {"budget": "1500", "hours": "40"}
    for each in told:
        i, record = each.filed.id, each.record
        if each.money.outcome is not None:
            annual = each.money.outcome.results["annual"]
            for name, key in zip(_RANGE, ("p05", "mean", "p95"), strict=True):
                found[f"worth-{name}-{i}"] = f"{annual[key]:.0f}"
        if record.cost is not None:
            hours = record.cost.building_hours + record.cost.downtime_hours
            for name, factor in zip(_RANGE, (0.8, 1.0, 1.5), strict=True):
                found[f"hours-{name}-{i}"] = exact_text(round(hours * factor, 2)).replace(",", "")
            found[f"cost-{i}"] = f"{record.cost.material:.0f}"
        word = each.proofs[0].verdict if each.proofs else None
        found[f"chance-{i}"] = str(_CHANCE.get(word or "", 50))
    return found


def kept(shop: Shop) -> dict[str, str]:
    """What was written over the records the last time, for everybody who looks next."""
    with shop.work() as work:
        found = work.keepsakes.get(OWNER, KIND, NAME) or {}
    return {name: str(text) for name, text in found.items()}


def keep(shop: Shop, values: Mapping[str, str]) -> None:
    """Keep what was written over the records."""
    with shop.work() as work:
        work.keepsakes.put(OWNER, KIND, NAME, dict(values), shop.clock.now())
        work.commit()


def asked_of(told: Sequence[Story], values: Mapping[str, str]) -> Asked:
    """What the fields ask, as options. Raises InputError with every field that is wrong."""
    problems: list[Problem] = []

    def read(name: str, most: float = 1e9) -> float | None:
        text = values.get(name, "").replace(",", "").strip()
        if not text:
            return None
        try:
            value = number(text, name)
            if not (-most if name.startswith("worth") else 0) <= value <= most:
                raise InputError.of(name, text, f"'{text}' should lie between 0 and {most:,g}")
        except InputError as error:
            problems.extend(error.problems)
            return None
        return value

    def spread(what: str, i: int) -> Range | None:
        ends = [read(f"{what}-{name}-{i}") for name in _RANGE]
        likely = ends[1]
        if likely is None:
            return None
        low, high = (likely if end is None else end for end in (ends[0], ends[2]))
        if not low <= likely <= high:
            said = f"should rise from low to likely to high, not {low:g}, {likely:g}, {high:g}"
            problems.append(Problem(f"{what}-likely-{i}", likely, said))
            return None
        return Range(low=low, likely=likely, high=high)

    options, without = {}, []
    for each in told:
        i = each.filed.id
        worth, hours = spread("worth", i), spread("hours", i) or Range(low=0, likely=0, high=0)
        chance, cost = read(f"chance-{i}", 100), read(f"cost-{i}")
        if worth is None:
            without.append(each)
        else:
            share = 0.5 if chance is None else chance / 100
            options[i] = Option(name=str(i), worth=worth, chance=share, cost=cost or 0.0, hours=hours)
    budget, limit = read("budget"), read("hours")
    if problems:
        raise InputError(problems)
    return Asked(options=options, budget=budget or 0.0, hours=limit, without=tuple(without))


def chosen(told: Sequence[Story], values: Mapping[str, str]) -> Chosen:
    """What is worth most together by the means, and the order of all. Raises InputError."""
    asked = asked_of(told, values)
    if not asked.options:
        return Chosen(told=tuple(told), asked=asked)
    raw = {
        "improvements": [
            {"name": each.name, "value": each.worth.mean * each.chance, "cost": each.cost, "hours": each.hours.mean}
            for each in asked.options.values()
        ],
        "budget": asked.budget,
        "hours": asked.hours,
    }
    outcome = catalogue.calculation("choose")({name: value for name, value in raw.items() if value is not None})
    placed = order(tuple(asked.options.values()), budget=asked.budget, hours=asked.hours)
    return Chosen(told=tuple(told), asked=asked, outcome=outcome, placed=placed)


def why(found: Chosen, number_: int) -> str:
    """Why an improvement is in the choice, or is not, in a sentence."""
    option = found.asked.options.get(number_)
    if option is None or found.outcome is None:
        return "Without a worth it has no place; write a guess."
    if option.name in found.outcome.results["chosen"]:
        sure = found.outcome.results["optimal"]
        return f"Belongs to what is worth most together{'' if sure else ', as far as was looked'}."
    if option.worth.mean * option.chance <= 0:
        return "Its expected worth is not above zero."
    if option.cost > found.asked.budget:
        return "It costs more than the money there is."
    if found.asked.hours is not None and option.hours.mean > found.asked.hours:
        return "It takes more hours than there are."
    return "The money and the hours are worth more with the others."
