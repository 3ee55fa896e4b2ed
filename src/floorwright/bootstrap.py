"""Where store, exchange and use cases meet: opening shops, backups, and filing a whole improvement file."""

from __future__ import annotations

import contextlib
import datetime as dt
import shutil
import tempfile
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any, Final

from floorwright.basis.errors import InputError, NotFoundError, UnstableError
from floorwright.exchange.improvement_file import ImprovementFile, PhotoPlan, Step, StudyPlan, read_toml
from floorwright.exchange.incoming import Incoming
from floorwright.exchange.looking import Looked, Wishes, look
from floorwright.exchange.plan import Choices, ImportPlan, Progress, Rows, plan_import
from floorwright.exchange.table import read_table
from floorwright.report import render_improvement, render_summary
from floorwright.report.assemble import improvement_page
from floorwright.report.assemble_shop import shop_summary
from floorwright.shop import aids, improvements, photos, studies
from floorwright.shop.filed import Filed, load_settings
from floorwright.shop.gains import ledger_of
from floorwright.shop.ports import Author, Box, Clock, Shop
from floorwright.shop.records import Improvement, Observation, Settings, Study
from floorwright.shop.safekeeping import note_backup
from floorwright.shop.shut_out import keep_shut_out
from floorwright.shop.story import Story
from floorwright.shop.together import together
from floorwright.store import backup as backups
from floorwright.store import shop as stores
from floorwright.store import succession
from floorwright.store.engine import DATABASE
from floorwright.store.files import TEMPORARY

Say = Callable[[str], None]
COUNTED_ROWS: Final = 5000
NOTED_ROWS: Final = 200  # left-out rows that a study names one by one


def open_shop(folder: Path, clock: Clock | None = None) -> Shop:
    """Open the shop in a folder. Raises StoreError with one sentence."""
    return stores.open_shop(folder, clock=clock)


def new_shop(folder: Path, settings: Settings, author: Author, clock: Clock | None = None) -> Shop:
    """Make a shop in a new or empty folder and open it. Raises StoreError with one sentence."""
    return stores.create_shop(folder, settings.model_dump(mode="json"), author, clock)


def backup(shop: Shop, target: Path) -> dict[str, Any]:
    """Copy an open shop into one file and check the copy. Returns what it holds. Raises StoreError."""
    return backups.backup(shop, target)


def check_backup(source: Path) -> dict[str, Any]:
    """Open a backup and check everything in it. Returns what it holds. Raises StoreError."""
    return backups.check_backup(source)


def restore(source: Path, folder: Path) -> dict[str, Any]:
    """Make a shop folder from a backup, all or nothing. Returns what it holds. Raises StoreError."""
    return backups.restore(source, folder)


def restore_beside(shop: Shop, source: Path, folder: Path, *, leave: bool) -> Shop:
    """Make a shop in a new folder from a backup, and open it; the shop that is open stays as it is.

    Whoever was shut out of the open shop since the backup was made stays out. With `leave` a note in the open
    shop's folder says where it went on.

    Raises:
        StoreError: the backup is not whole, or the folder cannot hold a shop; nothing is left of it then.
    """
    summary = backups.restore(source, folder)
    with contextlib.ExitStack() as undo:
        undo.callback(shutil.rmtree, folder, ignore_errors=True)
        made = stores.open_shop(folder, clock=shop.clock)
        undo.callback(made.close)
        keep_shut_out(shop, made)
        note_backup(made, dt.datetime.fromisoformat(summary["made_at"]))
        if leave:
            succession.leave_for(shop.folder, folder)
        undo.pop_all()
    return made


def successor(folder: Path) -> Path | None:
    """The shop that one was left for, after a restore; None when it was not."""
    return succession.successor(folder)


def is_shop(folder: Path) -> bool:
    """Whether there is a shop in a folder."""
    return (folder / DATABASE).is_file()


def workplace(shop: Shop) -> Path:
    """A new folder for what is at hand for a while; cleared away when the shop is opened a day later."""
    return Path(tempfile.mkdtemp(prefix=TEMPORARY, dir=shop.folder))


def improvement_pdf(shop: Shop, told: Story) -> bytes:
    """The printed page of an improvement."""
    return render_improvement(improvement_page(told, shop.photos.read))


def summary_pdf(shop: Shop, told: Sequence[Story]) -> bytes:
    """The printed page of the shop. Raises NotFoundError while it has no improvement."""
    if not told:
        raise NotFoundError("the shop has no improvement yet; add one with floorwright improvement add")
    return render_summary(shop_summary(told, ledger_of(shop, told)))


def look_at_file(
    shop: Shop,
    study: Filed[Study],
    file: Path,
    *,
    sheet: str | None = None,
    mapping: Mapping[str, str] | None = None,
    choices: Choices | None = None,
    progress: Progress | None = None,
) -> ImportPlan:
    """What an import of a file into a study would do; nothing is stored.

    Raises:
        InputError: the file cannot be read at all.
    """
    with shop.work() as work:
        settings = load_settings(work)
        known = work.observations.keys(study.id)
    table = read_table(file, sheet=sheet)
    today = replace(choices or Choices(), today=shop.clock.now().date())
    return plan_import(
        table, study.record, settings, mapping=mapping, known_keys=known, choices=today, progress=progress
    )


def look_at_incoming(
    shop: Shop, study: Filed[Study], file: Incoming, wishes: Wishes, progress: Progress | None = None
) -> Looked:
    """What reading in a file that waits would do, its columns, and what is wrong with it; nothing is stored."""
    with shop.work() as work:
        settings = load_settings(work)
        known = work.observations.keys(study.id)
    today = replace(wishes.choices, today=shop.clock.now().date())
    return look(
        file.path,
        file.name,
        study.record,
        settings,
        wishes=replace(wishes, choices=today),
        known_keys=known,
        progress=progress,
    )


def store_plan(
    shop: Shop,
    study: Filed[Study],
    plan: ImportPlan,
    author: Author,
    *,
    leave_out_problems: bool = False,
    progress: Progress | None = None,
) -> int:
    """Store what a plan holds; rows with problems stop it unless they are to be left out. Returns the new readings.

    What `progress` raises stops it, and nothing is stored.

    Raises:
        InputError: rows with problems, or people who have not been asked.
    """
    plan.check(leave_out_problems=leave_out_problems)
    note = {
        "file": plan.file,
        "sheet": plan.sheet,
        "sha256": plan.sha256,
        "left_out": [f"row {each.row}: {each.reason}"[:400] for each in plan.left_out[:NOTED_ROWS]],
        "left_out_in_all": len(plan.left_out),
    }
    rows = plan.rows if progress is None else _counted(plan.rows, progress)
    return studies.store_import(shop, study.id, rows, note, author)


def _counted(rows: Rows, progress: Progress) -> Iterator[Observation]:
    for number, row in enumerate(rows):
        if number % COUNTED_ROWS == 0:
            progress("storing", number, len(rows))
        yield row


def add_from_file(shop: Shop, file: ImprovementFile, folder: Path, say: Say) -> Filed[Improvement]:
    """File an improvement with its photos, studies and later steps, as its file tells them: all of it or nothing.

    Args:
        shop: the open shop.
        file: the improvement file.
        folder: where the files that it names lie.
        say: called with one line for each thing done or left out.

    Raises:
        InputError: a field or a reading that is wrong; nothing is stored then.
    """
    with together(shop) as shared:
        filed = improvements.add_improvement(shared, file.first, Author(who=file.who, role=file.role))
        for event in in_order(file):
            tell(shared, filed.id, event, folder, say, Author(who=file.who, role=file.role))
    return improvements.improvement(shop, filed.id)


Event = StudyPlan | PhotoPlan | Step


def day_of(event: Event) -> dt.date:
    """The day on which an event of an improvement file happened; a photo without a day comes first."""
    return event.on or dt.date.min


def in_order(file: ImprovementFile) -> Iterator[Event]:
    """The events of an improvement file in the order of their days."""
    events: list[Event] = [*file.photos, *file.studies, *file.steps]
    yield from sorted(events, key=day_of)


def tell(shop: Shop, id_: int, event: Event, folder: Path, say: Say, author: Author) -> None:
    """Let one event of an improvement file happen in the shop. Raises InputError, which names the event."""
    try:
        if isinstance(event, Step):
            _take_step(shop, id_, event, folder, say)
        elif isinstance(event, PhotoPlan):
            _add_photo(shop, id_, event, folder, author)
        else:
            _add_study(shop, id_, event, folder, say)
    except InputError as error:
        raise InputError(replace(each, field=f"{_name(event)}, {each.field}") for each in error.problems) from None


def _name(event: Event) -> str:
    if isinstance(event, Step):
        return f"step of {event.on}"
    if isinstance(event, PhotoPlan):
        return f"photo '{event.file}'"
    return f"study of '{event.measure}' {event.moment}"


def _take_step(shop: Shop, id_: int, step: Step, folder: Path, say: Say) -> None:
    author = Author(who=step.who, role=step.role)
    if step.aid:
        _keep_design(shop, id_, step, folder, say, author)
        return
    improvements.change_improvement(shop, id_, step.set, author, reason=step.reason, corrects=step.corrects)


def _keep_design(shop: Shop, id_: int, step: Step, folder: Path, say: Say, author: Author) -> None:
    raw = read_toml(folder / step.aid)
    try:
        kept = aids.keep_aid(shop, id_, raw, author, reason=step.reason).record.proposal
    except InputError as error:
        raise InputError(replace(each, field=f"{step.aid}, {each.field}") for each in error.problems) from None
    except UnstableError as error:
        raise InputError.of(step.aid, None, f"is no frame that stands: {error}") from None
    if kept is not None:
        say(f"{step.aid}: design of '{kept.title}', checks {kept.verdict}")


def _add_photo(shop: Shop, id_: int, plan: PhotoPlan, folder: Path, author: Author) -> None:
    path = folder / plan.file
    try:
        data = path.read_bytes()
    except OSError as error:
        raise InputError.of("file", str(path), f"{path} cannot be read: {error.strerror or error}") from None
    hash_ = photos.add_photo(
        shop, id_, data, author, name=plan.file, moment=plan.moment, caption=plan.caption, taken_on=plan.on
    )
    if plan.mask:
        photos.mask_photo(shop, hash_, [Box(*box) for box in plan.mask], author)


def _add_study(shop: Shop, id_: int, plan: StudyPlan, folder: Path, say: Say) -> None:
    only_here = {"on", "who", "role", "file", "sheet", "columns", "leave_out_problems"}
    raw = plan.model_dump(mode="json", exclude=only_here) | {"improvement": id_}
    study = studies.plan_study(shop, raw, Author(who=plan.who, role=plan.role))
    if not plan.file:
        return
    found = look_at_file(
        shop, study, folder / plan.file, sheet=plan.sheet or None, mapping=dict(plan.columns) or None
    )
    author = Author(who=plan.who, role=plan.role)
    new = store_plan(shop, study, found, author, leave_out_problems=plan.leave_out_problems)
    say(f"{plan.file}: {new:,} readings of '{plan.measure}', {plan.moment}")
    for problem in found.problems:
        say(f"  left out - {problem.sentence()}")
