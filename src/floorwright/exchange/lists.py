"""Every list that can be taken along as a file, by its name: for the pages, the command line, and whoever asks.

`LISTS` says what each holds, whose it is, and who may see it; `exported` works one out.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, fields
from typing import Final, Literal

from floorwright.basis.errors import InputError, NotFoundError
from floorwright.exchange import access_tables, aid_tables, result_tables, setting_tables, study_tables, tables
from floorwright.exchange.chart_table import chart_table
from floorwright.exchange.choosing_table import chosen_table
from floorwright.exchange.tables import Table
from floorwright.hold.run_rules import RuleName
from floorwright.propose.aid.design import Design, design
from floorwright.prove.ledger import by_month
from floorwright.shop import choosing
from floorwright.shop.aids import kept_aids
from floorwright.shop.baseline import Baseline, baseline
from floorwright.shop.due import due
from floorwright.shop.filed import KINDS, SETTINGS_ID, Filed, load_all, load_settings
from floorwright.shop.gains import ledger_of
from floorwright.shop.improvements import improvement
from floorwright.shop.ports import HistoryEntry, Shop
from floorwright.shop.records import Improvement, Observation, Settings, Study
from floorwright.shop.story import Story, stories, story
from floorwright.shop.studies import study_rows
from floorwright.shop.trying import tried
from floorwright.shop.watching import watched


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """Which of a kind of list is wanted.

    Attributes:
        improvement: number of the improvement that it is of.
        study: number of the study that it is of.
        measure, kind, baseline, rules: of a control chart, as `watched` takes them.
    """

    improvement: int | None = None
    study: int | None = None
    measure: str = ""
    kind: str = ""
    baseline: int | None = None
    rules: tuple[RuleName, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """Where lists come from.

    Attributes:
        shop: the open shop.
        told: the stories of all improvements; worked out anew unless somebody has them already.
    """

    shop: Shop
    told: Callable[[], Sequence[Story]]

    @property
    def settings(self) -> Settings:
        """The settings of the shop."""
        with self.shop.work() as work:
            return load_settings(work)


@dataclass(frozen=True, slots=True, kw_only=True)
class Listed:
    """A list that can be taken along.

    Attributes:
        holds: what it holds, in words.
        table: works it out.
        of: what it is of; "" for the whole shop.
        takes: what else it may be asked.
        lead: whether only a lead sees what it holds.
    """

    holds: str
    table: Callable[[Source, Asked], Table]
    of: Literal["", "improvement", "study"] = ""
    takes: tuple[str, ...] = ()
    lead: bool = False


def source_of(shop: Shop) -> Source:
    """A source that works out everything when it is asked."""
    return Source(shop=shop, told=lambda: stories(shop))


def exported(source: Source, what: str, asked: Asked | None = None) -> Table:
    """One list, by its name in `LISTS`.

    Raises:
        NotFoundError: no such list, improvement or study.
        InputError: it lacks what it is of, or is asked what it has no place for.
    """
    found, given = LISTS.get(what), asked or Asked()
    if found is None:
        raise NotFoundError(f"There is no list '{what[:40]}' to export; there are {', '.join(LISTS)}.")
    for each in fields(Asked):
        value = getattr(given, each.name)
        if each.name == found.of and value is None:
            raise InputError.of(each.name, None, f"is missing; give the number of the {each.name}")
        if value not in (None, "", ()) and each.name != found.of and each.name not in found.takes:
            raise InputError.of(each.name, value, f"does not go with '{what}'; leave it out")
    return found.table(source, given)


def _story(source: Source, asked: Asked) -> Story:
    return story(source.shop, _number(asked.improvement))


def _record(source: Source, asked: Asked) -> Improvement:
    return improvement(source.shop, _number(asked.improvement)).record


def _baseline(source: Source, asked: Asked) -> Baseline:
    return baseline(source.shop, _number(asked.study))


def _number(given: int | None) -> int:
    assert given is not None  # noqa: S101  `exported` has looked
    return given


def _improvements(source: Source, _: Asked) -> Table:
    return tables.improvements_table(source.told(), source.settings.currency)


def _readings(source: Source, _: Asked) -> Table:
    def rows() -> Iterator[tuple[Filed[Study], Observation]]:
        with source.shop.work() as work:
            for study in load_all(work, Study):
                for row in work.observations.stream(study.id):
                    yield study, row

    return tables.readings_table(rows())


def _months(source: Source, _: Asked) -> Table:
    book = ledger_of(source.shop, source.told())
    months = by_month(book, source.shop.clock.now().date())
    return tables.months_table(months, source.settings.currency)


def _history(source: Source, asked: Asked) -> Table:
    def entries() -> Iterator[HistoryEntry]:
        with source.shop.work() as work:
            if asked.improvement is not None:
                yield from work.records.history(KINDS[Improvement], asked.improvement)
                return
            yield from work.records.history("settings", SETTINGS_ID)
            for kind in (KINDS[Improvement], KINDS[Study]):
                for number in work.records.versions(kind):
                    yield from work.records.history(kind, number)

    return tables.history_table(entries())


def _choosing(source: Source, _: Asked) -> Table:
    told = choosing.open_ones(source.told())
    values = choosing.standing(told) | choosing.kept(source.shop)
    return chosen_table(choosing.chosen(told, values), source.settings.currency)


def _chart(source: Source, asked: Asked) -> Table:
    found = watched(
        source.shop,
        _number(asked.improvement),
        measure=asked.measure,
        kind=asked.kind,
        baseline=asked.baseline,
        rules=asked.rules,
    )
    return chart_table(found)


def _ledger(source: Source, _: Asked) -> Table:
    return tables.ledger_table(ledger_of(source.shop, source.told()))


def _gains(source: Source, _: Asked) -> Table:
    return tables.gains_table(ledger_of(source.shop, source.told()), source.settings.currency)


def _sums(source: Source, _: Asked) -> Table:
    return tables.sums_table(ledger_of(source.shop, source.told()), source.settings.currency)


def _design(source: Source, asked: Asked) -> Design | None:
    kept = _record(source, asked).proposal
    return None if kept is None else design(kept.spec, source.settings.units)


def _results(source: Source, asked: Asked) -> Table:
    return tables.improvements_table([_story(source, asked)], source.settings.currency)


LISTS: Final[dict[str, Listed]] = {
    "improvements": Listed(
        holds="every improvement with what each of its measures shows and what it is worth", table=_improvements
    ),
    "studies": Listed(
        holds="every study with its readings, and when people were asked",
        table=lambda source, _: tables.studies_table(study_rows(source.shop)),
    ),
    "readings": Listed(holds="every reading of every study", table=_readings),
    "sums": Listed(holds="what stands a year, as it is today: banked, freed, hoped for", table=_sums),
    "ledger": Listed(holds="each step of each piece of work, in whose name it stands", table=_ledger),
    "gains": Listed(holds="what stands in the name of each improvement on each piece of work", table=_gains),
    "months": Listed(holds="hours and money that came in, month by month", table=_months),
    "choosing": Listed(
        holds="what to do first: what was chosen, what it is worth and costs, and why", table=_choosing
    ),
    "due": Listed(holds="what needs someone, and when", table=lambda source, _: tables.due_table(due(source.shop))),
    "designs": Listed(
        holds="the designs that are kept with improvements, with verdict and working load",
        table=lambda source, _: aid_tables.designs_table(kept_aids(source.shop), source.settings.units),
    ),
    "history": Listed(holds="every change: who, when, why", table=_history, takes=("improvement",)),
    "settings": Listed(
        holds="the settings of the shop that are one value each",
        table=lambda source, _: setting_tables.settings_table(source.settings),
    ),
    "areas": Listed(
        holds="the areas of the shop",
        table=lambda source, _: setting_tables.names_table("area", source.settings.areas),
    ),
    "stations": Listed(
        holds="the stations that people walk between",
        table=lambda source, _: setting_tables.names_table("station", source.settings.stations),
    ),
    "distances": Listed(
        holds="the distance table of the shop",
        table=lambda source, _: setting_tables.distances_table(source.settings),
    ),
    "rates": Listed(
        holds="what an hour costs", table=lambda source, _: setting_tables.rates_table(source.settings)
    ),
    "shifts": Listed(
        holds="the shifts, when each starts and ends",
        table=lambda source, _: setting_tables.shifts_table(source.settings),
    ),
    "people": Listed(
        holds="who signs in with a name and a password",
        table=lambda source, _: access_tables.people_table(source.shop),
        lead=True,
    ),
    "phones": Listed(
        holds="the phones that were paired",
        table=lambda source, _: access_tables.phones_table(source.shop),
        lead=True,
    ),
    "programs": Listed(
        holds="the programs that may come in, without their tokens",
        table=lambda source, _: access_tables.programs_table(source.shop),
        lead=True,
    ),
    "results": Listed(holds="what each measure of an improvement shows", table=_results, of="improvement"),
    "levels": Listed(
        holds="the level that each study of an improvement says, and how many readings are lacking",
        table=lambda source, asked: result_tables.levels_table(source.shop, _story(source, asked)),
        of="improvement",
    ),
    "intervals": Listed(
        holds="both intervals of each comparison of an improvement",
        table=lambda source, asked: result_tables.intervals_table(_story(source, asked)),
        of="improvement",
    ),
    "comparison": Listed(
        holds="every value that an improvement's comparisons rest on",
        table=lambda source, asked: result_tables.comparison_table(_story(source, asked)),
        of="improvement",
    ),
    "repeats": Listed(
        holds="when the gain of an improvement is measured again",
        table=lambda source, asked: result_tables.repeats_table(_story(source, asked)),
        of="improvement",
    ),
    "worth": Listed(
        holds="what an improvement is worth, and what moves that most",
        table=lambda source, asked: result_tables.worth_table(tried(_story(source, asked), {})),
        of="improvement",
    ),
    "control-chart": Listed(
        holds="the points, limits and signals of the control chart of an improvement",
        table=_chart,
        of="improvement",
        takes=("measure", "kind", "baseline", "rules"),
    ),
    "design-checks": Listed(
        holds="every check of the design that an improvement keeps",
        table=lambda source, asked: aid_tables.checks_table(_design(source, asked)),
        of="improvement",
    ),
    "design-parts": Listed(
        holds="what the design that an improvement keeps is cut and bought from",
        table=lambda source, asked: aid_tables.parts_table(_design(source, asked), source.settings.units),
        of="improvement",
    ),
    "notes": Listed(
        holds="what was noted on the trial of an improvement",
        table=lambda source, asked: result_tables.notes_table(_record(source, asked)),
        of="improvement",
    ),
    "photos": Listed(
        holds="the photos of an improvement, without the pictures",
        table=lambda source, asked: result_tables.photos_table(_record(source, asked)),
        of="improvement",
    ),
    "values": Listed(
        holds="the values of a study in the order in which they were taken",
        table=lambda source, asked: result_tables.values_table(_baseline(source, asked), source.settings),
        of="study",
    ),
    "elements": Listed(
        holds="the elements of a time study, normal and standard time",
        table=lambda source, asked: study_tables.elements_table(_baseline(source, asked)),
        of="study",
    ),
    "walks": Listed(
        holds="where the walking of a study goes",
        table=lambda source, asked: study_tables.walks_table(_baseline(source, asked), source.settings.units),
        of="study",
    ),
    "files": Listed(
        holds="the files that were read into a study",
        table=lambda source, asked: study_tables.files_table(_baseline(source, asked).study.record),
        of="study",
    ),
}
OF_THE_SHOP: Final = tuple(name for name, each in LISTS.items() if not each.of)
"""Names of the lists that are of the whole shop."""
