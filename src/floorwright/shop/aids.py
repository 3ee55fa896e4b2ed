"""Keep a checked shop aid as the proposal of an improvement, so that it can be built, approved and taken back."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from typing import Any

from floorwright import __version__
from floorwright.basis.errors import NotFoundError
from floorwright.basis.sentence import said
from floorwright.propose.aid.design import Design, design
from floorwright.propose.aid.record import counts, overall
from floorwright.shop.filed import Filed, checked, load, load_all, load_settings
from floorwright.shop.improvements import file_fields, file_improvement
from floorwright.shop.ports import Author, Shop
from floorwright.shop.records import Caution, Improvement, Proposed


def proposed(raw: Mapping[str, Any], found: Design, on: dt.date) -> Proposed:
    """What an improvement keeps of a design.

    Args:
        raw: the spec as it was given.
        found: the design that it makes.
        on: the day of the check.

    Raises:
        InputError: a title or a caution that is too long to be kept.
    """
    first, rating = found.governing, found.rating
    return checked(
        Proposed,
        {
            "pattern": found.spec.pattern,
            "title": found.spec.title,
            "spec": dict(raw),
            "verdict": overall(found),
            "counts": counts(found),
            "first": first.check.sentence
            if first is not None and first.check.verdict in ("fails", "unknown")
            else "",
            "mass_kg": found.layout.own_kg,
            "load_kg": found.layout.load_kg,
            "rated_kg": rating.total_kg,
            "why_not": () if rating.given else rating.why_not,
            "cautions": [{"signal": each.signal, "text": each.text} for each in found.cautions],
            "checked_on": on,
            "program": __version__,
        },
    )


def keep_aid(
    shop: Shop,
    id_: int,
    raw: Mapping[str, Any],
    author: Author,
    *,
    reason: str = "",
    expected_version: int | None = None,
) -> Filed[Improvement]:
    """Check an aid and keep it as the proposal of an improvement, in place of the one that was there.

    Its cautions become the improvement's, in place of those of the design before; where nothing says yet what the
    change is, its title does.

    Args:
        shop: the open shop.
        id_: number of the improvement.
        raw: the spec, as TOML or a form gives it.
        author: who keeps it.
        reason: why it takes the place of the one before.
        expected_version: the version that the author saw.

    Raises:
        InputError: a field of the spec that is wrong, or an improvement that could not stand so.
        UnstableError: a frame that is a mechanism.
        NotFoundError: no such improvement.
        Clash: somebody else kept another design since that version.
    """
    kept = _checked(shop, raw)
    with shop.work() as work:
        old = load(work, Improvement, id_)
    fields = _fields(kept, old.record.countermeasure, old.record.cautions, old.record.proposal)
    return file_fields(shop, id_, fields, author, reason=reason, expected_version=expected_version or old.version)


def begin_with_aid(
    shop: Shop, raw: Mapping[str, Any], fields: Mapping[str, Any], author: Author
) -> Filed[Improvement]:
    """File a new improvement whose change is this aid. Raises InputError, UnstableError."""
    return file_improvement(shop, {**fields, **_fields(_checked(shop, raw), "", (), None)}, author)


def kept_aids(shop: Shop) -> list[Filed[Improvement]]:
    """The improvements that keep a design, the last one first."""
    with shop.work() as work:
        found = [each for each in load_all(work, Improvement) if each.record.proposal is not None]
    return sorted(found, key=lambda each: (_day(each), each.id), reverse=True)


def kept_spec(shop: Shop, id_: int) -> Mapping[str, Any]:
    """The spec of the design that an improvement keeps. Raises NotFoundError where it keeps none."""
    with shop.work() as work:
        found = load(work, Improvement, id_).record.proposal
    if found is None:
        raise NotFoundError(said("improvement {number} keeps no design", number=id_))
    return found.spec


def _day(filed: Filed[Improvement]) -> dt.date:
    return filed.record.proposal.checked_on if filed.record.proposal is not None else dt.date.min


def _checked(shop: Shop, raw: Mapping[str, Any]) -> Proposed:
    with shop.work() as work:
        system = load_settings(work).units
    # Outside of a transaction: a design takes a second.
    return proposed(raw, design(raw, system), shop.clock.now().date())


def _fields(
    kept: Proposed, countermeasure: str, cautions: tuple[Caution, ...], before: Proposed | None
) -> dict[str, Any]:
    of_before = set(before.cautions) if before is not None else set()
    others = [each for each in cautions if each not in of_before and each not in kept.cautions]
    found: dict[str, Any] = {
        "proposal": kept.model_dump(mode="json"),
        "cautions": [each.model_dump(mode="json") for each in (*kept.cautions, *others)],
    }
    return found if countermeasure else found | {"countermeasure": kept.title}
