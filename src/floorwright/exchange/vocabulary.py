"""The words that people put above columns, by what they mean; alternatives are separated by bars.

Where two columns of a file could mean the same, the one whose word comes first here is taken.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from floorwright.basis.quantity import (
    ANGLE,
    AREA,
    DENSITY_ON_FLOOR,
    DISTANCE,
    FORCE,
    LENGTH,
    MASS,
    TIME,
    Dimension,
)
from floorwright.shop.records import MeasureKind

COMMON: Final[Mapping[str, str]] = {
    "key": "key",
    "taken_at": "taken at|taken|date time|datetime|date and time|timestamp|time stamp|measured at|observed at|when",
    "date": "date|day|work date|taken on|study date",
    "clock": "time of day|clock|clock time|at|hour|started at|start time",
    "cycle": "cycle|cycle no|cycle nr|cycle number|cyc|round|rep|repetition|obs|observation|obs no|reading no|"
    "no|nr|n|number|sample|sample no",
    "element": "element|work element|element name|step|activity|task|operation",
    "exposure": "exposure",
    "work": "work|set up or run|setup or run|setup run|set up run|work kind",
    "part": "part|part no|part nr|part number|item|product|drawing|job|job no|job number",
    "lot_size": "lot size|lot|lot qty|batch|batch size|order qty|qty|quantity",
    "shift": "shift",
    "operator": "operator|operator code|oper|op code|worker|worker code|employee code|person|who|by|timed person",
    "driver": "driver|depends on|driver unit",
    "driver_amount": "driver amount|driver qty|amount",
    "rating": "rating|pace|performance|performance rating|pace rating",
    "foreign": "foreign|foreign element|does not belong",
    "note": "note|notes|comment|comments|remark|remarks|why",
    "detail": "detail",
    "replaces": "replaces",
    "reason": "reason",
}
_TIME_VALUE: Final = (
    "time|seconds|sec|secs|s|minutes|mins|min|hours|hrs|duration|elapsed|elapsed time|element time|cycle time|"
    "observed time|time taken|measured time|value|reading|watch reading|ct"
)
RUNNING_WATCH: Final = (
    "watch reading|watch|reading|lap|split|stopwatch|stopwatch reading|cumulative|cumulative time|value|time"
)
_START_STOP: Final = {
    "start": "start|begin|from|start reading|started",
    "stop": "stop|end|finish|to|until|stop reading|stopped|finished",
    "pause": "pause|pauses|break|breaks|paused|interruption time|pause time",
}
_AREA: Final = {"length": "length|l|long", "width": "width|w|depth|deep|wide"}
BY_KIND: Final[Mapping[MeasureKind, Mapping[str, str]]] = {
    MeasureKind.TIMES: {"value": _TIME_VALUE, **_START_STOP},
    MeasureKind.COUNTS: {
        "value": "events|count|counts|how many|defects|faults|scratches|touches|searches|found|value|occurrences",
        "exposure": "exposure|out of|of|over|per|panels|pieces|pcs|parts|shifts|inspected|looked at|checked|units|"
        "lots|qty|quantity|total",
    },
    MeasureKind.SHARES: {
        "value": "hits|seen|state|yes|occurrences|faulty|with fault|found|value|count|idle|searching",
        "exposure": "looks|observations|pieces|pcs|inspected|total|of|out of|checked|exposure|trials|n|qty|"
        "quantity",
    },
    MeasureKind.DISTANCE: {
        "value": "distance|walked|distance walked|length|metres|meters|feet|ft|m|value",
        "route": "route|path|walk|stations|station sequence|stops|sequence|way",
    },
    MeasureKind.LIFT: {
        "value": "lifting index|li|index|value",
        "load": "load|weight|mass",
        "horizontal": "horizontal|horizontal distance|hand distance|origin horizontal|h",
        "vertical": "vertical|vertical height|hand height|height|origin vertical|origin height|v",
        "asymmetry": "asymmetry|angle|twist|asymmetry angle|origin asymmetry|a",
        "destination_horizontal": "destination horizontal|horizontal destination|dest horizontal|dest h",
        "destination_vertical": "destination vertical|vertical destination|destination height|destination|"
        "dest vertical|dest v",
        "destination_asymmetry": "destination asymmetry|asymmetry destination|dest asymmetry|dest a",
        "travel": "travel|lift distance|vertical travel|d",
        "frequency": "frequency|lifts per min|lifts per minute|lifts min|f",
        "duration": "duration",
        "coupling": "coupling|grip|handles|c",
    },
    MeasureKind.SPACE: {"value": "area|space|floor space|floor area|footprint|value", **_AREA},
    MeasureKind.DENSITY: {
        "value": "density|pieces per m2|pieces per area|value",
        "pieces": "pieces|pcs|count|qty|quantity|items",
        "area": "area|space|floor space|floor area|footprint",
        **_AREA,
    },
    MeasureKind.FORCE: {"value": "force|push|pull|push force|pull force|value"},
    MeasureKind.WEIGHT: {"value": "weight|mass|material|scrap|waste|value"},
}
DIMENSIONS: Final[Mapping[MeasureKind, Mapping[str, Dimension]]] = {
    MeasureKind.TIMES: dict.fromkeys(("value", "start", "stop", "pause"), TIME),
    MeasureKind.COUNTS: {},
    MeasureKind.SHARES: {},
    MeasureKind.DISTANCE: {"value": DISTANCE},
    MeasureKind.LIFT: {
        "load": MASS,
        "horizontal": LENGTH,
        "vertical": LENGTH,
        "destination_horizontal": LENGTH,
        "destination_vertical": LENGTH,
        "travel": LENGTH,
        "asymmetry": ANGLE,
        "destination_asymmetry": ANGLE,
    },
    MeasureKind.SPACE: {"value": AREA, "length": LENGTH, "width": LENGTH},
    MeasureKind.DENSITY: {"value": DENSITY_ON_FLOOR, "area": AREA, "length": LENGTH, "width": LENGTH},
    MeasureKind.FORCE: {"value": FORCE},
    MeasureKind.WEIGHT: {"value": MASS},
}
