"""How a file is read, as a table: its columns, what is to settle, rows passed over, the first readings, notes."""

from __future__ import annotations

from floorwright.basis.errors import Problem
from floorwright.exchange.looking import Looked
from floorwright.exchange.tables import Rows, Table


def reading_table(found: Looked) -> Table:
    """Everything that the preview of an import says, a row for each; the problems up to the first 10,000."""
    rows: Rows = [["cannot be read", each.field, _cell(each), each.message] for each in found.problems]
    for column in found.columns:
        means = f"{column.meaning} ({column.unit})" if column.unit else column.meaning
        where = f"column {column.letter}, {column.heading or 'no heading'}"
        rows.append(["column", where, "; ".join(column.samples), means])
    plan = found.plan
    if plan is not None:
        file = f"{plan.file}, "
        rows += [["to settle", each.field.removeprefix(file), _cell(each), each.message] for each in plan.problems]
        rows += [["passed over", f"row {each.row}", "", each.reason] for each in plan.left_out if not each.problem]
        for place, cells in enumerate(plan.preview, 1):
            told = "; ".join(
                f"{name} {cell}" for name, cell in zip(plan.preview_columns, cells, strict=True) if cell
            )
            rows.append(["reading", f"reading {place}", "", told])
        rows += [["note", "", "", each] for each in plan.notes]
    return ["what", "where", "says", "told"], rows


def _cell(problem: Problem) -> str:
    """What stands in the cell that is wrong."""
    return "" if problem.value is None else str(problem.value)
