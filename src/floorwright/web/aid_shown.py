"""A checked shop aid as its page shows it: what to change first, views, checks, working, parts, rating."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, Final

from floorwright.basis.errors import InputError, NoFeasibleError, UnstableError
from floorwright.basis.outcome import Outcome
from floorwright.basis.proposal import Caution
from floorwright.basis.quantity import LENGTH, MASS, Quantity, UnitSystem
from floorwright.basis.sources import source
from floorwright.draw.aid_views import NARROW, aid_pictures
from floorwright.draw.picture import Picture
from floorwright.propose.aid.aid import Finding
from floorwright.propose.aid.design import Design, design, scene_of
from floorwright.propose.aid.rating import Rating
from floorwright.propose.aid.record import counts, overall
from floorwright.propose.aid.registry import pattern_of
from floorwright.shop.records import Settings
from floorwright.web import workings
from floorwright.web.workings import Shown

MARKS: Final = {"fails": "worse", "unknown": "waiting", "close": "likely", "ok": "proven"}
_KEPT: Final = 16
_ORDER: Final = ("iso", "side", "front", "top")


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckShown:
    """A check as a line that opens.

    Attributes:
        name, sentence, case: as the check has them.
        verdict: ok, close, fails or unknown.
        used: how much of what it bears is used, in per cent; "" where there is no such number.
        about: the bar, wheel or piece that it is about.
        asks: the field of the spec that would answer it; "" where the sentence names none.
        source: where it comes from, in full.
        working: how it is worked out; None for a yes or no.
    """

    name: str
    sentence: str
    case: str
    verdict: str
    used: str
    about: str
    asks: str
    source: str
    working: Shown | None


@dataclass(frozen=True, slots=True, kw_only=True)
class AidShown:
    """What the page shows of a design.

    Attributes:
        title: of the aid; verdict: of the whole; counts: of checks by verdict.
        first: what to change first; None where nothing fails and nothing is unknown.
        groups: checks by verdict, in the order in which they are read.
        views: drawings, the slanted one first; what `first` is about stands out.
        parts: count, name, material, length of each part.
        mass, load: of the empty aid and of what lies on it.
        rating, cautions: as the design has them.
        effects: measure and change of what it is for.
        more: workings beside the checks.
    """

    title: str
    verdict: str
    counts: Mapping[str, int]
    first: CheckShown | None
    groups: tuple[tuple[str, tuple[CheckShown, ...]], ...]
    views: tuple[Picture, ...]
    parts: tuple[tuple[int, str, str, str], ...]
    mass: str
    load: str
    rating: Rating
    cautions: tuple[Caution, ...]
    effects: tuple[tuple[str, str], ...]
    more: tuple[Shown, ...]


def designed(raw: Mapping[str, Any], system: UnitSystem) -> Design:
    """The design of a spec; the last few are kept, for their files and for whoever looks again.

    Raises:
        InputError: a field that is wrong.
        UnstableError: a frame that is a mechanism.
    """
    return _designed(json.dumps(raw), system)


@lru_cache(maxsize=_KEPT)
def _designed(text: str, system: UnitSystem) -> Design:
    return design(json.loads(text), system)


def pictures_of(raw: Mapping[str, Any], system: UnitSystem) -> tuple[Picture, ...]:
    """The views of a spec without its checks, the slanted one first; none where this program cannot lay it out."""
    return _pictures(json.dumps(raw), system)


@lru_cache(maxsize=4 * _KEPT)
def _pictures(text: str, system: UnitSystem) -> tuple[Picture, ...]:
    raw = json.loads(text)
    try:
        pattern = pattern_of(raw)
        scene = scene_of(pattern.lay_out(pattern.read(raw)))
    except (InputError, UnstableError, NoFeasibleError):
        return ()
    found = aid_pictures(scene, system, width=NARROW)
    return tuple(found[name] for name in _ORDER)


def shown(found: Design, settings: Settings, labels: Mapping[str, str]) -> AidShown:
    """A design in the words and units of the shop.

    Args:
        found: the design.
        settings: of the shop.
        labels: what the form calls each field of the spec, by its name.
    """
    checks = [_check(each, settings, labels) for each in found.findings]
    governing = found.governing
    about = ""
    first = None
    if governing is not None and governing.check.verdict in ("fails", "unknown"):
        first, about = _check(governing, settings, labels), governing.about
    views = aid_pictures(scene_of(found.layout), found.system, about, width=NARROW)
    proposal = found.proposal()
    return AidShown(
        title=found.spec.title,
        verdict=overall(found),
        counts=counts(found),
        first=first,
        groups=tuple(
            (verdict, of)
            for verdict in ("fails", "unknown", "close", "ok")
            if (of := tuple(each for each in checks if each.verdict == verdict))
        ),
        views=tuple(views[name] for name in _ORDER),
        parts=tuple(
            (
                part.count,
                part.name,
                part.material,
                "" if part.length_m is None else Quantity(part.length_m, LENGTH).text(found.system),
            )
            for part in proposal.parts
        ),
        mass=Quantity(found.layout.own_kg, MASS).text(found.system),
        load=Quantity(found.layout.load_kg, MASS).text(found.system),
        rating=found.rating,
        cautions=found.cautions,
        effects=tuple((each.measure, each.per_event.text(found.system)) for each in found.effects),
        more=tuple(
            _working(each.title, Outcome(results={}, working=each), settings) for each in found.more_workings
        ),
    )


def _check(each: Finding, settings: Settings, labels: Mapping[str, str]) -> CheckShown:
    check = each.check
    asked = [name for name in sorted(labels, key=len, reverse=True) if "." in name and name in check.sentence]
    sentence = check.sentence
    for name in asked:
        sentence = sentence.replace(name, f"“{labels[name]}”")
    return CheckShown(
        name=f"{check.name[:1].upper()}{check.name[1:]}",
        sentence=sentence,
        asks=asked[0] if asked else "",
        case=check.case,
        verdict=check.verdict,
        used="" if check.ratio is None else f"{check.ratio:.0%}",
        about=each.about,
        source=_cited(check.source),
        working=None
        if each.working is None
        else _working(check.name, Outcome(results={}, working=each.working), settings),
    )


def _working(title: str, outcome: Outcome, settings: Settings) -> Shown:
    return workings.of_outcome(title, outcome, settings)


def _cited(id_: str) -> str:
    return id_ if " " in id_ or not id_ else source(id_).text()


def rated_words(kept_kg: float | None, system: UnitSystem) -> str:
    """A working load in the shop's units; "" where it is withheld."""
    return "" if kept_kg is None else Quantity(kept_kg, MASS).text(system)
