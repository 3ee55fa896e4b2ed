"""What a user does with an improvement: add it, change it, move it on, drop it, look back."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from floorwright.basis.errors import ConflictError, InputError
from floorwright.basis.sentence import Sentence, joined, said, said_n
from floorwright.shop.clash import body_at, plain, with_changes
from floorwright.shop.filed import (
    Filed,
    checked,
    file_change,
    file_new,
    load,
    load_all,
    load_settings,
    with_fields,
)
from floorwright.shop.merge import merge
from floorwright.shop.ports import Author, HistoryEntry, Shop, UnitOfWork
from floorwright.shop.records import Improvement, Measure, MeasureKind, Note, Phase, Settings, Study
from floorwright.shop.studies import studies_by_improvement

MINIMUM_CYCLES: Final = 10  # below this nothing is shown as a verdict


def add_improvement(shop: Shop, raw: Mapping[str, Any], author: Author) -> Filed[Improvement]:
    """File a new improvement.

    Raises:
        InputError: listing every field that is wrong.
    """
    _no_design_by_hand(raw)
    return file_improvement(shop, raw, author)


def file_improvement(shop: Shop, raw: Mapping[str, Any], author: Author) -> Filed[Improvement]:
    """The same for a use case that has checked the design in it. Raises InputError."""
    record = checked(Improvement, with_fields({}, raw))
    with shop.work() as work:
        _fits_the_shop(load_settings(work), record)
        filed = file_new(work, record, author, shop.clock.now())
        work.commit()
    return filed


def change_improvement(
    shop: Shop,
    id_: int,
    fields: Mapping[str, Any],
    author: Author,
    *,
    reason: str = "",
    corrects: bool = False,
    expected_version: int | None = None,
) -> Filed[Improvement]:
    """Change fields of an improvement; every earlier version stays readable.

    Args:
        shop: the open shop.
        id_: number of the improvement.
        fields: fields with their new values, as plain values; "cost.material" is a field of a field.
        author: who changes it.
        reason: why.
        corrects: whether this corrects the version before it rather than adding to it.
        expected_version: the version that the author saw; what others changed in other fields since then stays.

    Raises:
        InputError: a field that is wrong, or a correction without a reason.
        NotFoundError: no such improvement, or no such version of it.
        Clash: somebody else changed the same fields since that version.
    """
    _no_design_by_hand(fields)
    return file_fields(
        shop, id_, fields, author, reason=reason, corrects=corrects, expected_version=expected_version
    )


def file_fields(
    shop: Shop,
    id_: int,
    fields: Mapping[str, Any],
    author: Author,
    *,
    reason: str = "",
    corrects: bool = False,
    expected_version: int | None = None,
) -> Filed[Improvement]:
    """The same for a use case that has checked the design among the fields. Raises as `change_improvement`."""
    if corrects and not reason:
        raise InputError.of("reason", None, said("is missing; a correction says why"))
    with shop.work() as work:
        old = load(work, Improvement, id_)
        record = _allowed(work, old, with_changes(work, old, fields, expected_version), reason)
        _shows_what_is_there(shop, old, record)
        replaces = old.version if corrects else 0
        filed = file_change(work, old, record, author, shop.clock.now(), reason, replaces)
        work.commit()
    return filed


def _no_design_by_hand(fields: Mapping[str, Any]) -> None:
    """What a design is rated for comes from its checks alone; to take a design away is free."""
    for path, value in fields.items():
        if path.split(".")[0] == "proposal" and not (path == "proposal" and value is None):
            raise InputError.of(
                path, None, said("cannot be written by hand; check the design and keep it with the improvement")
            )


def add_note(shop: Shop, id_: int, text: str, author: Author, *, on: dt.date | None = None) -> Filed[Improvement]:
    """Add a note from the trial, of today unless told. Raises InputError, NotFoundError."""
    with shop.work() as work:
        old = load(work, Improvement, id_)
        at = shop.clock.now()
        note = checked(Note, {"on": on or at.date(), "who": author.who, "text": text})
        record = old.record.model_copy(update={"trial_notes": (*old.record.trial_notes, note)})
        filed = file_change(work, old, record, author, at)
        work.commit()
    return filed


def undo_change(shop: Shop, id_: int, version: int, author: Author) -> Filed[Improvement]:
    """Take back what one version changed, as a new version; what others changed since then stays.

    Raises:
        InputError: nothing to take back, or a record that could not stand so (standard work without approval).
        NotFoundError: no such improvement, or no such version of it.
        ConflictError: a later version changed the same fields.
    """
    with shop.work() as work:
        old = load(work, Improvement, id_)
        body, reason = _without(shop, work, old, version)
        record = _allowed(work, old, body, reason)
        filed = file_change(work, old, record, author, shop.clock.now(), reason, version)
        work.commit()
    return filed


def _without(shop: Shop, work: UnitOfWork, now: Filed[Improvement], version: int) -> tuple[dict[str, Any], str]:
    """The improvement as it stands, without what one version changed, and what is to be said of it."""
    if version == 1:
        raise InputError.of("version", 1, said("1 is how the improvement began; drop the improvement instead"))
    after, before = body_at(work, now, version), body_at(work, now, version - 1)
    gone = _taken_away(before, after) - shop.photos.hashes()
    if gone:
        before["photos"] = after["photos"]
    found = merge(after, before, plain(now.record))
    if found.clashes:
        names = [each.field for each in found.clashes]
        raise ConflictError(_changed_again(work, now.id, version, names))
    if found.body == plain(now.record):
        raise InputError.of(
            "version",
            version,
            said("{version} took a photo away for good; nobody can bring it back", version=version)
            if gone
            else said("{version} has nothing left to take back", version=version),
        )
    return found.body, f"version {version} taken back{', but for a photo that is gone for good' if gone else ''}"


def _taken_away(before: Mapping[str, Any], after: Mapping[str, Any]) -> set[str]:
    """Photos that a version took out."""
    return {each["hash"] for each in before["photos"]} - {each["hash"] for each in after["photos"]}


def _changed_again(work: UnitOfWork, id_: int, version: int, fields: Sequence[str]) -> str:
    """Which later version stands in the way of taking one back."""
    names = {field.split(".")[0] for field in fields}
    later = next(
        each
        for each in reversed(work.records.history("improvement", id_))
        if any(change.path.split(".")[0].split("[")[0] in names for change in each.changes)
    )
    return said(
        "Version {later} by {who} changed {fields} again after version {version}; take that back first, or "
        "change it by hand.",
        later=later.version,
        who=later.who,
        fields=joined((said(field.replace("_", " ")) for field in fields), ", "),
        version=version,
    )


def _allowed(work: UnitOfWork, old: Filed[Improvement], body: dict[str, Any], reason: str) -> Improvement:
    """The record that a change leads to, if the shop, its studies and what was said before looking allow it."""
    record = checked(Improvement, body)
    _fits_the_shop(load_settings(work), record)
    _keeps_what_is_measured(work, old, record)
    return _marks_what_was_said_late(work, old, record, reason)


def improvement(shop: Shop, id_: int) -> Filed[Improvement]:
    """One improvement. Raises NotFoundError."""
    with shop.work() as work:
        return load(work, Improvement, id_)


def history(shop: Shop, id_: int) -> list[HistoryEntry]:
    """Who changed what in an improvement, and when. Raises NotFoundError."""
    with shop.work() as work:
        return work.records.history("improvement", id_)


@dataclass(frozen=True, slots=True, kw_only=True)
class Overview:
    """An improvement with its phase and what it waits for."""

    filed: Filed[Improvement]
    phase: Phase
    next_step: Sentence


def overviews(shop: Shop, *, phase: Phase | None = None, search: str = "") -> list[Overview]:
    """All improvements by number, with phase and next step; filtered by phase and by words."""
    with shop.work() as work:
        found = [seen for seen, _ in seen_all(work)]
    return matching(found, phase=phase, search=search)


def matching(found: Iterable[Overview], *, phase: Phase | None = None, search: str = "") -> list[Overview]:
    """Those that are in a phase and hold all of these words."""
    words = search.casefold().split()
    return [
        each
        for each in found
        if (phase is None or each.phase is phase) and all(word in _haystack(each.filed.record) for word in words)
    ]


def _haystack(record: Improvement) -> str:
    fields = (record.title, record.waste, record.area, record.place, record.question, record.countermeasure)
    return " ".join(fields).casefold()


Counts = Mapping[tuple[str, str], int]
"""(measure, moment) -> number of readings."""


def _counts(studies: Sequence[Filed[Study]], readings: Callable[[int], int]) -> Counts:
    counts: dict[tuple[str, str], int] = {}
    for study in studies:
        key = (study.record.measure, study.record.moment)
        counts[key] = counts.get(key, 0) + readings(study.id)
    return counts


def counts_of(work: UnitOfWork, id_: int) -> Counts:
    """Number of readings of each measure and moment of one improvement."""
    return _counts(studies_by_improvement(work).get(id_, []), work.observations.count)


def seen_all(work: UnitOfWork) -> list[tuple[Overview, list[Filed[Study]]]]:
    """Every improvement by number, where it stands, with its studies; everything is read once."""
    studies, counts = studies_by_improvement(work), work.observations.counts()
    return [
        _seen(filed, studies.get(filed.id, []), lambda study: counts.get(study, 0))
        for filed in load_all(work, Improvement)
    ]


def seen_one(work: UnitOfWork, id_: int) -> tuple[Overview, list[Filed[Study]]]:
    """As `seen_all` for one improvement. Raises NotFoundError."""
    studies = studies_by_improvement(work).get(id_, [])
    return _seen(load(work, Improvement, id_), studies, work.observations.count)


def _seen(
    filed: Filed[Improvement], studies: list[Filed[Study]], readings: Callable[[int], int]
) -> tuple[Overview, list[Filed[Study]]]:
    return overview(filed, _counts(studies, readings)), studies


def overview(filed: Filed[Improvement], counts: Counts) -> Overview:
    """Where an improvement stands in the cycle and its one next step."""
    phase, step = _stand(filed.record, counts)
    return Overview(filed=filed, phase=phase, next_step=step)


def _enough(counts: Counts, record: Improvement, moment: str) -> bool:
    """Whether the first measure has readings at that moment: ten, or any for totals such as counts."""
    first = record.measures[0]
    need = 1 if first.kind in (MeasureKind.COUNTS, MeasureKind.SHARES, MeasureKind.SPACE) else MINIMUM_CYCLES
    return counts.get((first.name, moment), 0) >= need


def _stand(record: Improvement, counts: Counts) -> tuple[Phase, Sentence]:
    if record.dropped:
        return Phase.DROPPED, said("Dropped: {why}", why=record.dropped)
    if not record.measures:
        return Phase.IDEA, said("Say what you would measure: one thing, and the smallest change that matters.")
    if not _enough(counts, record, "before"):
        return Phase.PLAN, said(
            "Measure before you change anything: {have} so far of '{name}'.", **_so_far(record, counts, "before")
        )
    if not record.countermeasure and record.proposal is None:
        return Phase.PLAN, said("The baseline stands. Write down the change that you want to try.")
    if record.trial_started_on is None:
        return Phase.DO, said("Build it, then note the day on which the trial starts.")
    if not _enough(counts, record, "after"):
        return Phase.CHECK, said(
            "Measure after the change: {have} so far of '{name}'.", **_so_far(record, counts, "after")
        )
    if record.approval is None:
        return Phase.CHECK, said("Look at the result together: prove says what it shows and what comes next.")
    if not record.standard_work:
        return Phase.ACT, said("Write down the new standard work.")
    if record.watch is None:
        return Phase.ACT, said("Say what is watched so that the gain stays.")
    return Phase.ACT, said("Watch {what} every {days} days.", what=record.watch.what, days=record.watch.every_days)


def _so_far(record: Improvement, counts: Counts, moment: str) -> dict[str, str]:
    name = record.measures[0].name
    return {"have": said_n("{n} reading", "{n} readings", counts.get((name, moment), 0)), "name": name}


def _shows_what_is_there(shop: Shop, old: Filed[Improvement], record: Improvement) -> None:
    new = {photo.hash for photo in record.photos} - {photo.hash for photo in old.record.photos}
    if new and (unknown := sorted(new - shop.photos.hashes())):
        raise InputError.of(
            "photos",
            unknown[0],
            said("the shop has no photo {unknown}; add the picture first", unknown=unknown[0][:12]),
        )


def _fits_the_shop(settings: Settings, record: Improvement) -> None:
    if settings.areas and record.area not in settings.areas:
        raise InputError.of(
            "area",
            record.area,
            said("'{area}' is not an area here; {choices}", area=record.area, choices=_choices(settings.areas)),
        )
    if record.labour_rate is not None and settings.rate(record.labour_rate) is None:
        names = [rate.name for rate in settings.rates]
        raise InputError.of(
            "labour_rate",
            record.labour_rate,
            said(
                "'{labour_rate}' is not known; {choices}", labour_rate=record.labour_rate, choices=_choices(names)
            ),
        )


def _keeps_what_is_measured(work: UnitOfWork, old: Filed[Improvement], record: Improvement) -> None:
    """A measure that has a study keeps its name and kind, else its readings would belong to nothing."""
    if record.measures == old.record.measures:
        return
    for study in load_all(work, Study):
        if study.record.improvement != old.id:
            continue
        measure = record.measure(study.record.measure)
        if measure is None or measure.kind is not study.record.kind:
            raise InputError.of(
                "measures",
                study.record.measure,
                said(
                    "study {study} measures '{measure}' ({kind}); keep that measure, and add another beside it",
                    study=study.id,
                    measure=study.record.measure,
                    kind=said(study.record.kind.value),
                ),
            )


def _marks_what_was_said_late(
    work: UnitOfWork, old: Filed[Improvement], record: Improvement, reason: str
) -> Improvement:
    """What matters is said before looking; changed after readings are in, it needs a reason and stays marked."""
    if record.measures == old.record.measures:
        return record
    looked = {name for (name, moment), count in counts_of(work, old.id).items() if moment == "after" and count}
    measures = []
    for new in record.measures:
        before = old.record.measure(new.name)
        late = before is not None and before.said_late
        if before is not None and new.name in looked and _aim(new) != _aim(before):
            if not reason:
                raise InputError.of(
                    "measures",
                    new.name,
                    said(
                        "what matters in '{new}' was said before its readings came in; to change it now, say "
                        "why with --reason",
                        new=new.name,
                    ),
                )
            late = True
        measures.append(new.model_copy(update={"said_late": late}))
    return record.model_copy(update={"measures": tuple(measures)})


def _aim(measure: Measure) -> tuple[str, float, int | None]:
    return measure.better, measure.smallest_that_matters, measure.planned_after


def _choices(names: Sequence[str]) -> str:
    return said("the shop has {names}", names=", ".join(names)) if names else said("the shop has none yet")
