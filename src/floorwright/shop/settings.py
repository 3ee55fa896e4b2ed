"""What a user does with the shop's settings: look at them, change them, take a change back; all stays readable."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from floorwright.basis.errors import ConflictError, InputError, Problem
from floorwright.shop.clash import body_at, plain, with_changes
from floorwright.shop.filed import SETTINGS_ID, Filed, checked, file_change, load, load_all
from floorwright.shop.merge import merge
from floorwright.shop.ports import Author, HistoryEntry, Shop, UnitOfWork
from floorwright.shop.records import Improvement, Settings


def settings(shop: Shop) -> Filed[Settings]:
    """The shop's settings."""
    with shop.work() as work:
        return load(work, Settings, SETTINGS_ID)


def change_settings(
    shop: Shop,
    fields: Mapping[str, Any],
    author: Author,
    *,
    reason: str = "",
    expected_version: int | None = None,
) -> Filed[Settings]:
    """Change fields of the shop's settings; what others changed in other fields since `expected_version` stays.

    Raises:
        InputError: listing every field that is wrong, and areas and rates that improvements still use.
        NotFoundError: no such version of the settings.
        Clash: somebody else changed the same fields since that version.
    """
    with shop.work() as work:
        old = load(work, Settings, SETTINGS_ID)
        record = checked(Settings, with_changes(work, old, fields, expected_version))
        _keeps_what_is_used(work, old.record, record)
        filed = file_change(work, old, record, author, shop.clock.now(), reason)
        work.commit()
    return filed


def undo_settings(shop: Shop, version: int, author: Author) -> Filed[Settings]:
    """Take back what one version changed, as a new version; what others changed since then stays.

    Raises:
        InputError: nothing to take back, or something that improvements use by now.
        NotFoundError: no such version.
        ConflictError: a later version changed the same fields.
    """
    with shop.work() as work:
        old = load(work, Settings, SETTINGS_ID)
        if version == 1:
            raise InputError.of("version", 1, "1 is how the shop began; change what you want to have changed")
        found = merge(body_at(work, old, version), body_at(work, old, version - 1), plain(old.record))
        if found.clashes:
            names = " and ".join(each.field.replace("_", " ") for each in found.clashes)
            raise ConflictError(f"Somebody changed {names} again after this; change it by hand.")
        record = checked(Settings, found.body)
        _keeps_what_is_used(work, old.record, record)
        if record == old.record:
            raise InputError.of("version", version, f"{version} has nothing left to take back")
        filed = file_change(work, old, record, author, shop.clock.now(), f"version {version} taken back", version)
        work.commit()
    return filed


def settings_history(shop: Shop) -> list[HistoryEntry]:
    """Who changed what in the settings, and when, oldest first."""
    with shop.work() as work:
        return work.records.history("settings", SETTINGS_ID)


def _keeps_what_is_used(work: UnitOfWork, old: Settings, new: Settings) -> None:
    """An area or a rate that improvements name stays, else they could not be changed any more."""
    # A shop without areas takes any word for one, so that taking away the last one leaves nothing behind.
    areas = set(old.areas) - set(new.areas) if new.areas else set()
    rates = {rate.name for rate in old.rates} - {rate.name for rate in new.rates}
    if not areas and not rates:
        return
    found = load_all(work, Improvement)
    problems = [
        *_still_used("areas", areas, ((each.record.area, each.id) for each in found), "another area"),
        *_still_used("rates", rates, ((each.record.labour_rate, each.id) for each in found), "another rate"),
    ]
    if problems:
        raise InputError(problems)


def _still_used(
    field: str, gone: set[str], used: Iterable[tuple[str | None, int]], instead: str
) -> Iterable[Problem]:
    by_name: dict[str, list[int]] = {}
    for name, id_ in used:
        if name in gone:
            by_name.setdefault(str(name), []).append(id_)
    for name, ids in by_name.items():
        which = f"improvement {ids[0]} uses" if len(ids) == 1 else f"improvements {_listed(ids)} use"
        them = "it" if len(ids) == 1 else "them"
        yield Problem(field, name, f"{which} '{name}'; give {them} {instead} first, or keep it")


def _listed(ids: list[int]) -> str:
    """At most six numbers as people say them."""
    if len(ids) > 6:
        return f"{', '.join(map(str, ids[:5]))} and {len(ids) - 5} others"
    return f"{', '.join(map(str, ids[:-1]))} and {ids[-1]}"
