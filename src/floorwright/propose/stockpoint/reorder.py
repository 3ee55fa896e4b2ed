"""When to reorder a consumable, how much, and how many containers hold it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Annotated, Any

from pydantic import Field

from floorwright.basis.calculation import Calculation
from floorwright.basis.errors import InputError, Problem
from floorwright.basis.fields import Input, Measure, NonNegative, Positive
from floorwright.basis.outcome import Outcome
from floorwright.basis.quantity import FRACTION
from floorwright.basis.stat.quantiles import z
from floorwright.basis.working import Given, Step, Working

_WHOLE = 1e-9  # takes the rounding of floats out of a whole number before it is rounded up


class ReorderInput(Input):
    """Input of `reorder`."""

    demand_mean: Positive = Field(description="pieces used in a period, on average (plain)")
    demand_sd: NonNegative = Field(description="standard deviation of that from period to period (plain)")
    lead_time_mean: Positive = Field(description="periods from reordering to having it, on average (plain)")
    lead_time_sd: NonNegative = Field(description="standard deviation of that, in periods (plain)")
    service_level: Annotated[float, Measure(FRACTION, above=0, at_most=0.999999)] = Field(
        description="chance that nothing runs out before a delivery, such as '95 %'"
    )
    order_cost: Positive | None = Field(None, description="money an order costs, whatever its size (plain)")
    holding_cost: Positive | None = Field(None, description="money a piece costs to keep for a period (plain)")
    unit_cost: Positive | None = Field(None, description="money a piece costs (plain)")
    container: Positive | None = Field(None, description="pieces that one container holds (plain)")


@dataclass(frozen=True, slots=True, kw_only=True)
class Reorder:
    """Levels in pieces, not rounded, save the whole containers that hold the stock up to the reorder point."""

    z: float
    lead_demand: float
    lead_sd: float
    safety_stock: float
    reorder_point: float
    order_quantity: float | None
    containers: int | None


def levels(
    *,
    demand_mean: float,
    demand_sd: float,
    lead_time_mean: float,
    lead_time_sd: float,
    service_level: float,
    order_cost: float | None = None,
    holding_cost: float | None = None,
    container: float | None = None,
) -> Reorder:
    """Reorder point for demand and lead time that both vary, and the economic order quantity.

    sd = sqrt(L s_d² + d² s_L²), safety stock = z sd, reorder point = d L + safety stock,
    order quantity = sqrt(2 d S / h), containers = reorder point / container, rounded up.
    """
    lead_demand = demand_mean * lead_time_mean
    lead_sd = math.sqrt(lead_time_mean * demand_sd**2 + demand_mean**2 * lead_time_sd**2)
    safety = z(service_level) * lead_sd
    point = lead_demand + safety
    quantity = None
    if order_cost is not None and holding_cost is not None:
        quantity = math.sqrt(2 * demand_mean * order_cost / holding_cost)
    return Reorder(
        z=z(service_level),
        lead_demand=lead_demand,
        lead_sd=lead_sd,
        safety_stock=safety,
        reorder_point=point,
        order_quantity=quantity,
        containers=None if container is None else max(0, math.ceil(point / container * (1 - _WHOLE))),
    )


def run(given: ReorderInput) -> Outcome:
    """The levels, and what they cost where the prices are given."""
    if (given.order_cost is None) != (given.holding_cost is None):
        name, other = ("order_cost", "holding_cost") if given.order_cost is None else ("holding_cost", "order_cost")
        raise InputError([Problem(name, None, f"is missing; the order quantity needs it beside {other}")])
    found = levels(**given.model_dump(exclude={"unit_cost"}))
    results: dict[str, Any] = {
        "safety_stock": found.safety_stock,
        "reorder_point": found.reorder_point,
        "order_quantity": found.order_quantity,
        "containers": found.containers,
    }
    steps = _steps(given, found)
    if found.order_quantity is not None:
        average = found.order_quantity / 2 + found.safety_stock
        results["average_stock"] = average
        steps.append(Step("stock", "Q / 2 + SS", average, "pieces", "average stock", "harris_1913"))
        if given.order_cost is not None and given.holding_cost is not None:
            cost = given.order_cost * given.demand_mean / found.order_quantity + given.holding_cost * average
            results["cost_per_period"] = cost
            steps.append(
                Step(
                    "cost", "S * d / Q + h * stock", cost, "money", "ordering and keeping, a period", "harris_1913"
                )
            )
        if given.unit_cost is not None:
            results["stock_value"] = given.unit_cost * average
            steps.append(Step("worth", "u * stock", given.unit_cost * average, "money", "money in the stock"))
    return Outcome(
        results=results,
        working=Working(
            title="Reorder point",
            given=_givens(given),
            assumptions=(
                "demand during the lead time is roughly normal",
                "stock is watched all the time and reordered when it reaches the point",
                "service level: the chance of no stock-out in a cycle, which is not the share of demand served",
            ),
            steps=tuple(steps),
        ),
        warnings=_warnings(given, found),
        sources=("stevenson", "harris_1913"),
    )


def _givens(given: ReorderInput) -> tuple[Given, ...]:
    found = [
        Given("d", given.demand_mean, "pieces", "demand in a period"),
        Given("s_d", given.demand_sd, "pieces", "its standard deviation"),
        Given("T", given.lead_time_mean, "periods", "lead time"),
        Given("s_T", given.lead_time_sd, "periods", "its standard deviation"),
        Given("p", given.service_level, "", "service level"),
    ]
    for symbol, value, unit, meaning in (
        ("S", given.order_cost, "money", "cost of an order"),
        ("h", given.holding_cost, "money", "cost of keeping a piece for a period"),
        ("u", given.unit_cost, "money", "cost of a piece"),
        ("C", given.container, "pieces", "pieces in a container"),
    ):
        if value is not None:
            found.append(Given(symbol, value, unit, meaning))
    return tuple(found)


def _steps(given: ReorderInput, found: Reorder) -> list[Step]:
    steps = [
        Step("D_T", "d * T", found.lead_demand, "pieces", "demand during the lead time", "stevenson"),
        Step(
            "s",
            "sqrt(T * s_d ** 2 + d ** 2 * s_T ** 2)",
            found.lead_sd,
            "pieces",
            "its standard deviation, demand and lead time both varying",
            "stevenson",
        ),
        Step("q", "z(p)", found.z, "", "quantile of the normal distribution"),
        Step("SS", "q * s", found.safety_stock, "pieces", "safety stock", "stevenson"),
        Step("R", "D_T + SS", found.reorder_point, "pieces", "reorder point", "stevenson"),
    ]
    if found.order_quantity is not None:
        steps.append(
            Step(
                "Q", "sqrt(2 * d * S / h)", found.order_quantity, "pieces", "economic order quantity", "harris_1913"
            )
        )
    if found.containers is not None:
        steps.append(
            Step(
                "boxes",
                "max(0, ceil(R / C * (1 - 1e-9)))",
                found.containers,
                "",
                "containers that hold the stock up to the reorder point, rounded up",
                "stevenson",
            )
        )
    return steps


def _warnings(given: ReorderInput, found: Reorder) -> tuple[str, ...]:
    texts = []
    if given.service_level < 0.5:
        texts.append("A service level below 50 % asks for less than the average demand: it will mostly run out.")
    if found.lead_sd > found.lead_demand / 2:
        texts.append(
            "Demand during the lead time varies so much that the normal distribution fits poorly; "
            "check the level against the largest use so far."
        )
    return tuple(texts)


CALCULATION = Calculation(
    name="reorder",
    title="Reorder point",
    question="When to reorder, how much, and how many containers?",
    input=ReorderInput,
    run=run,
    example={
        "demand_mean": 40,
        "demand_sd": 9,
        "lead_time_mean": 1.5,
        "lead_time_sd": 0.4,
        "service_level": "95 %",
        "order_cost": 18,
        "holding_cost": 0.02,
        "unit_cost": 1.35,
        "container": 24,
    },
)
