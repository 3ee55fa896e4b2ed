"""What a user does with a study: plan it, ask people first, add readings, correct one, look at it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from floorwright.basis.errors import InputError, NotFoundError
from floorwright.basis.quantity import LARGEST
from floorwright.basis.sentence import said, said_n
from floorwright.shop.clash import with_changes
from floorwright.shop.filed import Filed, checked, file_change, file_new, load, load_all, with_fields
from floorwright.shop.ports import Author, Shop, UnitOfWork
from floorwright.shop.records import (
    LONGEST_TIME_S,
    ImportNote,
    Improvement,
    Measure,
    MeasureKind,
    Moment,
    Observation,
    Study,
)


def plan_study(shop: Shop, raw: Mapping[str, Any], author: Author) -> Filed[Study]:
    """File a study of a measure of an improvement; its kind follows from the measure.

    Raises:
        InputError: listing every field that is wrong.
        NotFoundError: no such improvement.
    """
    with shop.work() as work:
        owner = load(work, Improvement, int(raw.get("improvement", 0)))
        measure = owner.record.measure(str(raw.get("measure", "")))
        if measure is None:
            names = ", ".join(f"'{each.name}'" for each in owner.record.measures) or said("none yet")
            raise InputError.of(
                "measure",
                raw.get("measure"),
                said("is no measure of improvement {owner}; it has {names}", owner=owner.id, names=names),
            )
        filed = file_new(work, checked(Study, dict(raw) | {"kind": measure.kind}), author, shop.clock.now())
        work.commit()
    return filed


def change_study(
    shop: Shop,
    id_: int,
    fields: Mapping[str, Any],
    author: Author,
    *,
    reason: str = "",
    expected_version: int | None = None,
) -> Filed[Study]:
    """Change fields of a study; what others changed in other fields since `expected_version` stays.

    Raises:
        InputError: a field that is wrong.
        NotFoundError: no such study, or no such version of it.
        Clash: somebody else changed the same fields since that version.
    """
    with shop.work() as work:
        old = load(work, Study, id_)
        record = checked(Study, with_changes(work, old, fields, expected_version))
        if (record.improvement, record.measure, record.kind) != (
            old.record.improvement,
            old.record.measure,
            old.record.kind,
        ):
            raise InputError.of(
                "measure", record.measure, said("a study stays with its measure; plan a new study instead")
            )
        filed = file_change(work, old, record, author, shop.clock.now(), reason)
        work.commit()
    return filed


def study(shop: Shop, id_: int) -> Filed[Study]:
    """One study. Raises NotFoundError."""
    with shop.work() as work:
        return load(work, Study, id_)


def measured(work: UnitOfWork, id_: int) -> tuple[Filed[Study], Filed[Improvement], Measure]:
    """A study with its improvement and what it measures. Raises NotFoundError."""
    filed = load(work, Study, id_)
    owner = load(work, Improvement, filed.record.improvement)
    known = owner.record.measure(filed.record.measure)
    return filed, owner, known or Measure(name=filed.record.measure, kind=filed.record.kind)


def studies_by_improvement(work: UnitOfWork) -> dict[int, list[Filed[Study]]]:
    """The studies of every improvement, by number; read once for a whole list of improvements."""
    found: dict[int, list[Filed[Study]]] = {}
    for each in load_all(work, Study):
        found.setdefault(each.record.improvement, []).append(each)
    return found


def latest(studies: Sequence[Filed[Study]], measure: str, moment: Moment) -> Filed[Study] | None:
    """The latest study of a measure at a moment; None when there is none."""
    found = [each for each in studies if each.record.measure == measure and each.record.moment == moment]
    return found[-1] if found else None


def may_observe(record: Study, id_: int, today: dt.date) -> None:
    """People are asked before they are timed.

    Raises:
        InputError: when nobody has noted that they were, or the day lies ahead.
    """
    if record.people_asked_on is None:
        raise InputError.of(
            "people_asked_on",
            None,
            said(
                "is missing; ask the people before you time them, then note the day on the study's page, or "
                "with: floorwright study change SHOP {id} --set people_asked_on={today}",
                id=id_,
                today=today.isoformat(),
            ),
        )
    if record.people_asked_on > today:
        raise InputError.of(
            "people_asked_on", record.people_asked_on.isoformat(), said("lies ahead; ask first, then time")
        )


def _believable(study: Study, row: Observation, today: dt.date) -> Observation:
    """A typed reading that can be true; an import judges its rows in the same way, cell by cell.

    Raises:
        InputError: a reading that cannot.
    """
    day = row.taken_at.date()
    if day > today:
        raise InputError.of(
            "taken_at", day.isoformat(), said("{day} lies ahead; today is {today}", day=day, today=today)
        )
    if study.people_asked_on is not None and day < study.people_asked_on:
        raise InputError.of(
            "taken_at",
            day.isoformat(),
            said(
                "{day} is before the people were asked ({people_asked_on})",
                day=day,
                people_asked_on=study.people_asked_on,
            ),
        )
    if study.kind is MeasureKind.TIMES and not 0 < row.value <= LONGEST_TIME_S:
        raise InputError.of(
            "value",
            row.value,
            said("is {value} s; a time is more than 0 s and at most 12 h", value=f"{row.value:,g}"),
        )
    if row.value > LARGEST:
        raise InputError.of(
            "value", row.value, said("is {value}; nobody can have measured that much", value=f"{row.value:g}")
        )
    if study.kind in (MeasureKind.COUNTS, MeasureKind.SHARES):
        _counted_over(study, row)
    return row


def _counted_over(study: Study, row: Observation) -> None:
    what = said("hits") if study.kind is MeasureKind.SHARES else said("events")
    if row.value != int(row.value):
        raise InputError.of(
            "value",
            row.value,
            said("is {value}; {what} are counted in whole numbers", value=f"{row.value:g}", what=what),
        )
    if row.exposure is None:
        raise InputError.of(
            "exposure",
            None,
            said("is missing; say over how many looks or pieces the hits were counted")
            if study.kind is MeasureKind.SHARES
            else said("is missing; say over how much, such as 40 pieces, the events were counted"),
        )
    if study.kind is MeasureKind.SHARES and row.value > row.exposure:
        raise InputError.of(
            "value",
            row.value,
            said(
                "has {value} hits in {exposure} looks; check both",
                value=f"{row.value:g}",
                exposure=f"{row.exposure:g}",
            ),
        )


def add_observations(shop: Shop, study_id: int, rows: Iterable[Observation]) -> int:
    """Append readings; the same reading sent twice is stored once. Returns how many were new.

    Raises:
        InputError: when the people have not been asked, or a reading that cannot be true.
        ConflictError: a key that comes again with another content.
        NotFoundError: no such study, or a correction of a reading it does not hold.
    """
    with shop.work() as work:
        filed = load(work, Study, study_id)
        today = shop.clock.now().date()
        may_observe(filed.record, filed.id, today)
        new = work.observations.append(study_id, [_believable(filed.record, row, today) for row in rows])
        work.commit()
    return new


def store_import(
    shop: Shop, study_id: int, rows: Iterable[Observation], note: Mapping[str, Any], author: Author
) -> int:
    """Append the readings of a file and note the file with its left-out rows, both or neither.

    Args:
        shop: the open shop.
        study_id: the study.
        rows: the readings.
        note: file, sheet, sha256, left_out and left_out_in_all of `ImportNote`; the rest is filled in here.
        author: who imports.

    Returns:
        The number of readings that were new.

    Raises:
        InputError: when the people have not been asked.
        ConflictError: a key that comes again with another content.
    """
    with shop.work() as work:
        old = load(work, Study, study_id)
        today = shop.clock.now().date()
        may_observe(old.record, old.id, today)
        new = work.observations.append(study_id, rows)
        noted = checked(ImportNote, dict(note) | {"on": today, "who": author.who, "readings": new})
        record = old.record.model_copy(update={"imports": (*old.record.imports, noted)})
        file_change(work, old, record, author, shop.clock.now(), f"{noted.file} imported")
        work.commit()
    return new


def correct_observation(shop: Shop, study_id: int, key: str, fields: Mapping[str, Any], reason: str) -> Observation:
    """Append a reading that replaces another one, which stays readable.

    Raises:
        InputError: a field that is wrong, or no reason.
        NotFoundError: no such reading.
    """
    with shop.work() as work:
        study_of = load(work, Study, study_id)
        held = {each.key: each for each in work.observations.of(study_id, with_replaced=True)}
        old = held.get(key)
        if old is None:
            raise NotFoundError(
                said(
                    "study {study_id} holds no reading '{key}'; see floorwright study show",
                    study_id=study_id,
                    key=key,
                )
            )
        if any(each.replaces == key for each in held.values()):
            raise InputError.of("key", key, said("was corrected before; correct the reading that replaced it"))
        if not reason.strip():
            raise InputError.of("reason", None, said("is missing; a correction says why"))
        first = key.rpartition("~")[0] or key if old.replaces else key
        number = sum(1 for each in held if each.startswith(f"{first}~")) + 1
        body = with_fields(old.model_dump(mode="json"), fields)
        new = checked(Observation, body | {"key": f"{first}~{number}", "replaces": key, "reason": reason})
        today = shop.clock.now().date()
        work.observations.append(study_id, [_believable(study_of.record, new, today)])
        work.commit()
    return new


def find_reading(shop: Shop, study_id: int, start: str) -> Observation:
    """The one reading whose key begins so; what a correction added to a key ("~1") stands whole.

    Raises:
        NotFoundError: no reading, or several.
    """
    base, mark, number = start.partition("~")
    held = observations_of(shop, study_id, with_replaced=True)
    found = [
        row for row in held if base and row.key.partition("~")[1:] == (mark, number) and row.key.startswith(base)
    ]
    exact = [row for row in held if row.key == start]
    if len(exact or found) != 1:
        how_many = said_n("{n} reading", "{n} readings", len(found)) if found else said("no reading")
        raise NotFoundError(
            said(
                "study {study_id} holds {how_many} with a key that begins with '{start}'; see the "
                "keys with: floorwright study show SHOP {study_id} --readings",
                study_id=study_id,
                how_many=how_many,
                start=start,
            )
        )
    return (exact or found)[0]


def observations_of(shop: Shop, study_id: int, *, with_replaced: bool = False) -> list[Observation]:
    """The readings of a study in the order in which they were taken. Raises NotFoundError."""
    with shop.work() as work:
        load(work, Study, study_id)
        return work.observations.of(study_id, with_replaced=with_replaced)


def readings_with_keys(shop: Shop, study_id: int, keys: Sequence[str]) -> list[Observation]:
    """Those readings of a study that have one of these keys. Raises NotFoundError."""
    with shop.work() as work:
        load(work, Study, study_id)
        return work.observations.with_keys(study_id, keys)


@dataclass(frozen=True, slots=True)
class StudyRow:
    """A study with the number of its readings."""

    filed: Filed[Study]
    readings: int


def study_rows(shop: Shop) -> list[StudyRow]:
    """All studies of the shop with the number of their readings, by number."""
    with shop.work() as work:
        counts = work.observations.counts()
        return [StudyRow(each, counts.get(each.id, 0)) for each in load_all(work, Study)]


def study_row(shop: Shop, id_: int) -> StudyRow:
    """A study with the number of its readings. Raises NotFoundError."""
    with shop.work() as work:
        return StudyRow(load(work, Study, id_), work.observations.count(id_))


def readings_page(shop: Shop, study_id: int, *, after: int, limit: int) -> tuple[list[Observation], int, bool]:
    """Readings in order of entry, corrected ones and their corrections too, so many behind the place `after`.

    Returns:
        The readings, the place of the last of them (`after` where there is none), and whether there are more.

    Raises:
        NotFoundError: no such study.
    """
    with shop.work() as work:
        load(work, Study, study_id)
        found = work.observations.page(study_id, after=after, limit=limit + 1)
    shown = found[:limit]
    return [row for _, row in shown], shown[-1][0] if shown else after, len(found) > limit
