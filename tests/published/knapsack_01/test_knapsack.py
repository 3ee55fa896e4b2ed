"""0-1 knapsack problems P01, P02, P04, P06 and P08 of the KNAPSACK_01 set (J. Burkardt, Florida State University).

After Martello and Toth, Knapsack Problems (1990) and Kreher and Stinson (1999). The figures are from memory; each
optimum was proved again by full enumeration or, for the 24 items of P08, by meeting in the middle.
"""

from __future__ import annotations

import pytest

from floorwright.prove.choose import CALCULATION

P08 = (
    6404180,
    [
        *(382745, 799601, 909247, 729069, 467902, 44328, 34610, 698150, 823460, 903959, 853665, 551830),
        *(610856, 670702, 488960, 951111, 323046, 446298, 931161, 31385, 496951, 264724, 224916, 169684),
    ],
    [
        *(825594, 1677009, 1676628, 1523970, 943972, 97426, 69666, 1296457, 1679693, 1902996, 1844992, 1049289),
        *(1252836, 1319836, 953277, 2067538, 675367, 853655, 1826027, 65731, 901489, 577243, 466257, 369261),
    ],
    13549094,
)


@pytest.mark.parametrize(
    ("capacity", "weights", "profits", "best"),
    [
        (165, [23, 31, 29, 44, 53, 38, 63, 85, 89, 82], [92, 57, 49, 68, 60, 43, 67, 84, 87, 72], 309),
        (26, [12, 7, 11, 8, 9], [24, 13, 23, 15, 16], 51),
        (50, [31, 10, 20, 19, 4, 3, 6], [70, 20, 39, 37, 7, 5, 10], 107),
        (170, [41, 50, 49, 59, 55, 57, 60], [442, 525, 511, 593, 546, 564, 617], 1735),
        P08,
    ],
    ids=["P01", "P02", "P04", "P06", "P08"],
)
def test_best_profit(capacity: int, weights: list[int], profits: list[int], best: int) -> None:
    items = [
        {"name": f"item {i}", "value": profit, "cost": weight}
        for i, (weight, profit) in enumerate(zip(weights, profits, strict=True))
    ]
    found = CALCULATION({"improvements": items, "budget": capacity}).results
    assert found["value"] == best
    assert found["optimal"]
    picked = [items[int(name.split()[1])] for name in found["chosen"]]
    assert sum(float(str(item["cost"])) for item in picked) == found["cost"] <= capacity
