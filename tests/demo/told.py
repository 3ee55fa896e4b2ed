"""What the tests of the demo speak of: an improvement after its last step, and one of its studies."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from floorwright.exchange.improvement_file import ImprovementFile, StudyPlan
from floorwright.exchange.plan import ImportPlan
from floorwright.shop.records import Improvement
from floorwright.shop.series import Series


@dataclass(frozen=True)
class Told:
    """An improvement file with the record as it stands after its last step."""

    folder: Path
    file: ImprovementFile
    record: Improvement


@dataclass(frozen=True)
class Read:
    """A study of the demo, its file as the importer sees it, and the series it gives."""

    told: Told
    plan: StudyPlan
    imported: ImportPlan
    series: Series
