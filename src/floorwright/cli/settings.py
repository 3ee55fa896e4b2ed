"""`floorwright settings`: what the shop is and how it counts."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from floorwright.basis.errors import InputError
from floorwright.basis.quantity import DISTANCE, SPEED, parse, write
from floorwright.cli.common import (
    assignments,
    author,
    author_options,
    json_option,
    opened,
    print_json,
    shop_argument,
)
from floorwright.cli.screen import facts
from floorwright.exchange.distances import read_distances, read_stations
from floorwright.exchange.table import read_table
from floorwright.shop.records import RateBasis, Settings
from floorwright.shop.settings import change_settings
from floorwright.shop.settings import settings as settings_of_shop


@click.command(
    epilog="Examples:\n\n\b\n  floorwright settings my-shop\n"
    "  floorwright settings my-shop --rate burdened=35.18 --set people=28\n"
    "  floorwright settings my-shop --shift first=06:00-14:30 --shift second=14:30-23:00\n"
    "  floorwright settings my-shop --distances from-to.csv --walking-speed '3 mph'"
)
@shop_argument
@click.option("--set", "sets", multiple=True, metavar="FIELD=VALUE", help="A field; may be repeated.")
@click.option("--rate", "rates", multiple=True, metavar="BASIS=MONEY", help="Labour rate an hour; repeatable.")
@click.option("--area", "areas", multiple=True, help="A further area; may be repeated.")
@click.option("--shift", "shifts", multiple=True, metavar="NAME=FROM-TO", help="Such as first=06:00-14:30.")
@click.option("--distances", type=click.Path(path_type=Path, dir_okay=False), help="From-to table, CSV or XLSX.")
@click.option("--stations", type=click.Path(path_type=Path, dir_okay=False), help="List of stations, CSV or XLSX.")
@click.option("--unit", default="", help="Unit of bare distances whose heading has none.")
@click.option("--walking-speed", help="Such as '3 mph' or '80 m/min'.")
@click.option("--reason", default="", help="Why.")
@author_options
@json_option
def settings(
    shop: Path,
    sets: tuple[str, ...],
    rates: tuple[str, ...],
    areas: tuple[str, ...],
    shifts: tuple[str, ...],
    distances: Path | None,
    stations: Path | None,
    unit: str,
    walking_speed: str | None,
    reason: str,
    who: str | None,
    role: str,
    as_json: bool,
) -> None:
    """Show the settings of SHOP, or change them: rates, areas, stations, the distance table, units, paper."""
    with opened(shop) as found:
        now = settings_of_shop(found).record
        fields = assignments(sets, Settings)
        if rates:
            fields["rates"] = _with_rates(now, rates)
        if areas:
            fields["areas"] = [*now.areas, *(area for area in areas if area not in now.areas)]
        if shifts:
            fields["shifts"] = _with_shifts(now, shifts)
        if distances is not None:
            fields["distances_m"] = read_distances(read_table(distances), unit=unit)
        if stations is not None:
            fields["stations"] = read_stations(read_table(stations))
        if walking_speed is not None:
            fields["walking_speed_m_s"] = _speed(walking_speed)
        if fields:
            now = change_settings(found, fields, author(who, role), reason=reason).record
    if as_json:
        print_json(now)
    else:
        click.echo(_text(now))


def _with_rates(now: Settings, given: tuple[str, ...]) -> list[dict[str, Any]]:
    """The shop's rates with those given put in the place of the rate of the same name, or behind them."""
    table = {rate.name: rate.model_dump(mode="json") for rate in now.rates}
    for pair in given:
        basis, equals, money = pair.partition("=")
        if not equals or basis.strip() not in tuple(RateBasis):
            kinds = ", ".join(RateBasis)
            raise InputError.of("--rate", pair, f"should be BASIS=MONEY with {kinds}, such as burdened=35.18")
        table[basis.strip()] = {"name": basis.strip(), "basis": basis.strip(), "per_hour": money.strip()}
    return list(table.values())


def _with_shifts(now: Settings, given: tuple[str, ...]) -> list[dict[str, Any]]:
    """The shop's shifts with those given put in the place of the shift of the same name, or behind them."""
    table = {shift.name: shift.model_dump(mode="json") for shift in now.shifts}
    for text in given:
        name, _, times = text.rpartition("=")
        starts, dash, ends = times.partition("-")
        if not name.strip() or not dash:
            raise InputError.of("--shift", text, f"'{text}' should be NAME=FROM-TO, such as first=06:00-14:30")
        table[name.strip()] = {"name": name.strip(), "starts": starts.strip(), "ends": ends.strip()}
    return list(table.values())


def _speed(text: str) -> float:
    try:
        return parse(text, SPEED)
    except ValueError as error:
        raise InputError.of("--walking-speed", text, str(error)) from None


def _text(now: Settings) -> str:
    rates = "; ".join(
        f"{rate.name} {now.currency}{rate.per_hour:.2f} an hour ({rate.basis.value})" for rate in now.rates
    )
    table = (
        f"{len(now.distances_m)} distances, the longest "
        f"{write(max(metres for _, _, metres in now.distances_m), DISTANCE, now.units)}"
        if now.distances_m
        else "none yet: --distances FILE"
    )
    pairs = {
        "Shop": now.name + (f", {now.people} people" if now.people else ""),
        "Units": f"{'inches and pounds' if now.units == 'us' else 'metric'}, {now.currency}, {now.paper} paper",
        "Areas": ", ".join(now.areas) or "none yet: --area NAME",
        "Shifts": "; ".join(f"{each.name} {each.starts:%H:%M} to {each.ends:%H:%M}" for each in now.shifts)
        or "none yet: --shift NAME=FROM-TO",
        "Stations": ", ".join(now.stations) or "none yet: --stations FILE",
        "Distances": table,
        "Walking": write(now.walking_speed_m_s, SPEED, now.units),
        "Rates": rates or "none yet: --rate burdened=MONEY",
        "Interest": f"{now.interest:.1%} a year",
        "Intervals": f"{now.confidence:.0%}",
    }
    return facts(pairs)
