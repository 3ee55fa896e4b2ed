"""Every calculation by name: a plain table. List, schema, explanation, HTTP route and docs follow from it.

A module named here holds one `CALCULATION`. Modules are imported when asked for, so that the command line
starts quickly.
"""

from __future__ import annotations

from collections.abc import Iterator
from importlib import import_module
from typing import Any, Final

from floorwright.basis.calculation import Calculation
from floorwright.basis.errors import InputError

_MODULES: Final = {
    # seeing: how big is the waste?
    "time_study": "floorwright.observe.time_study",
    "sample_size": "floorwright.observe.sample_size",
    "work_sampling": "floorwright.observe.work_sampling",
    "learning": "floorwright.observe.learning",
    "takt": "floorwright.observe.takt",
    "from_to": "floorwright.observe.from_to",
    # effort: can people do this?
    "lift": "floorwright.observe.lift",
    "lift_job": "floorwright.observe.lift_job",
    "push": "floorwright.propose.aid.calc.push",
    "reach": "floorwright.propose.aid.calc.reach",
    "roll": "floorwright.propose.aid.calc.roll",
    # strength: will it hold?
    "section": "floorwright.propose.aid.calc.section",
    "frame": "floorwright.propose.aid.calc.frame",
    "member": "floorwright.propose.aid.calc.member",
    "weld": "floorwright.propose.aid.calc.weld",
    "bolt": "floorwright.propose.aid.calc.bolt",
    "clamp": "floorwright.propose.aid.calc.clamp",
    "caster_plate": "floorwright.propose.aid.calc.caster_plate",
    "spring": "floorwright.propose.aid.calc.spring",
    "spring_search": "floorwright.propose.aid.calc.spring_search",
    "casters": "floorwright.propose.aid.calc.casters",
    "tip": "floorwright.propose.aid.calc.tip",
    # fixing: what is the best arrangement?
    "queue": "floorwright.propose.sharing.queue",
    "reorder": "floorwright.propose.stockpoint.reorder",
    # proving: did it help, what is it worth, does it hold?
    "compare": "floorwright.prove.compare",
    "power": "floorwright.prove.power",
    "control_chart": "floorwright.hold.control_chart",
    "worth": "floorwright.prove.worth",
    "gain": "floorwright.prove.gain",
    "choose": "floorwright.prove.choose",
}


def names() -> tuple[str, ...]:
    """The names of all calculations, in the order of the job."""
    return tuple(_MODULES)


def calculation(name: str) -> Calculation[Any]:
    """The calculation of this name.

    Raises:
        InputError: when there is none; the message lists the names.
    """
    module = _MODULES.get(name)
    if module is None:
        raise InputError.of("calculation", name, f"'{name}' is not known; the names are {', '.join(_MODULES)}")
    found = import_module(module).CALCULATION
    assert isinstance(found, Calculation)  # noqa: S101  the table above is code, not input
    return found


def all_calculations() -> Iterator[Calculation[Any]]:
    """Every calculation, in the order of the job."""
    return (calculation(name) for name in _MODULES)
