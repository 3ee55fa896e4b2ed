"""Results, working and warnings of a spring, for `spring` and `spring_search`."""

from __future__ import annotations

from collections.abc import Iterator
from math import pi
from typing import Any, Final

from floorwright.basis.mechanics import STIFFNESS, STRESS
from floorwright.basis.quantity import FORCE, LENGTH, MASS, Dimension, Quantity
from floorwright.basis.working import Given, Step, Working
from floorwright.propose.aid.springs.fatigue import PEENED_PA, RUPTURE, STATIC_BELOW, UNPEENED_PA
from floorwright.propose.aid.springs.rating import SOLID_SAFETY, Rating, Service
from floorwright.propose.aid.springs.spring import END_COILS, Spring
from floorwright.propose.aid.springs.stability import ALPHA, SEAT_MEANING, steel_rule_m
from floorwright.propose.aid.springs.wire import memory_notes, strength_law

FREQUENCY: Final = Dimension("frequency", {"Hz": 1.0, "1/s": 1.0}, "Hz", "Hz", "12 Hz")
_FACTOR_TEXT: Final = {
    "bergstraesser": ("KB", "(4 * C + 2) / (4 * C - 3)", "Bergsträsser factor: curvature and direct shear"),
    "wahl": ("KW", "(4 * C - 1) / (4 * C - 4) + 0.615 / C", "Wahl factor: curvature and direct shear"),
    "direct": ("Ks", "1 + 0.5 / C", "direct shear alone"),
}


def sources_of(service: Service) -> tuple[str, ...]:
    """Where the formulas and constants come from."""
    own = () if service.constants == "shigley" else (service.constants,)
    return ("shigley", "shigley_recalled", *own, *(("zimmerli",) if service.most_n > 0 else ()))


def record_of(spring: Spring, rating: Rating, service: Service) -> dict[str, Any]:
    """The results by the names of the contract."""
    life = rating.life
    return {
        "rate": Quantity(spring.rate_n_m, STIFFNESS),
        "index": spring.index,
        "mean_diameter": Quantity(spring.mean_m, LENGTH),
        "outside_diameter": Quantity(spring.outside_m, LENGTH),
        "inside_diameter": Quantity(spring.inside_m, LENGTH),
        "active_coils": spring.active,
        "total_coils": spring.total,
        "pitch": Quantity(spring.pitch_m, LENGTH),
        "solid_length": Quantity(spring.solid_m, LENGTH),
        "force_at_solid": Quantity(spring.solid_force_n, FORCE),
        "lengths": [Quantity(spring.length_m(load), LENGTH) for load in service.loads_n],
        "shear_stress": [Quantity(stress, STRESS) for stress in rating.stress_pa],
        "shear_stress_solid": Quantity(rating.solid_stress_pa, STRESS),
        "stress_factor": rating.factor,
        "tensile_strength": Quantity(rating.tensile_pa, STRESS),
        "allowable_stress": Quantity(rating.allowable_pa, STRESS),
        "force_at_yield": Quantity(spring.force_at_stress_n(rating.allowable_pa, rating.factor), FORCE),
        "yield_safety": rating.yield_safety,
        "yield_safety_solid": rating.solid_yield_safety,
        "fatigue_safety": life.goodman if life else None,
        "fatigue_safety_gerber": life.gerber if life else None,
        "fatigue_safety_sines": life.sines if life else None,
        "buckles": rating.buckles,
        "critical_deflection": None if rating.critical_m is None else Quantity(rating.critical_m, LENGTH),
        "stable_free_length": None if rating.stable_m is None else Quantity(rating.stable_m, LENGTH),
        "natural_frequency": Quantity(_frequency(spring, service), FREQUENCY),
        "mass": Quantity(spring.mass_kg, MASS),
    }


def _frequency(spring: Spring, service: Service) -> float:
    return spring.natural_frequency_hz(one_end_free=service.seat == "fixed_free")


def working_of(spring: Spring, rating: Rating, service: Service) -> Working:
    """The working in millimetres, newtons and megapascals."""
    return Working(
        title="Helical compression spring",
        given=tuple(_given(spring, service)),
        assumptions=tuple(_assumptions(spring, service)),
        steps=(
            *_shape_steps(spring),
            *_strength_steps(spring, rating, service),
            *_load_steps(spring, rating, service),
            *_buckling_steps(spring, rating, service),
            *_fatigue_steps(spring, rating, service),
            Step(
                "m_a",
                "rho * pi**2 * d**2 * D * Na / 4 * 1e-9",
                _active_kg(spring),
                "kg",
                "mass of the active coils",
            ),
            Step(
                "f",
                f"{0.25 if service.seat == 'fixed_free' else 0.5} * sqrt(k * 1000 / m_a)",
                _frequency(spring, service),
                "Hz",
                "lowest frequency of the coils; keep what drives it 15 to 20 times lower",
                "shigley_recalled",
            ),
        ),
    )


def _active_kg(spring: Spring) -> float:
    return spring.mass_kg * spring.active / spring.total


def _given(spring: Spring, service: Service) -> Iterator[Given]:
    law, _ = strength_law(service.wire, spring.wire_m, service.constants)
    yield Given("pi", pi, "", "circle constant")
    yield Given("d", spring.wire_m * 1e3, "mm", "diameter of the wire")
    yield Given("D", spring.mean_m * 1e3, "mm", "mean diameter of the coils")
    yield Given("Na", spring.active, "", "active coils")
    yield Given("L0", spring.free_m * 1e3, "mm", "free length")
    yield Given("G", spring.G_pa * 1e-6, "MPa", "shear modulus")
    yield Given("E", spring.E_pa * 1e-6, "MPa", "elastic modulus")
    yield Given("rho", spring.density_kg_m3, "kg/m3", "density of the wire")
    if service.tensile_pa is None:
        yield Given("A", law.A_mpa, "MPa·mm^m", f"strength constant of {service.wire.replace('_', ' ')}")
        yield Given("m", law.m, "", f"its exponent, from the same set ({service.constants})")
    else:
        yield Given("Sut", service.tensile_pa * 1e-6, "MPa", "tensile strength as certified")
    for number, load in enumerate(service.loads_n, 1):
        yield Given(f"F{number}", load, "N", f"load {number}")


def _assumptions(spring: Spring, service: Service) -> Iterator[str]:
    yield "round wire, constant pitch, small angle of helix"
    yield f"ends {SEAT_MEANING[service.seat]}"
    factor = "direct" if service.set_removed else service.factor
    yield f"static stress with the {_FACTOR_TEXT[factor][2]}; fatigue with the Bergsträsser factor"
    if service.cycles is not None and service.cycles < STATIC_BELOW:
        yield f"below {STATIC_BELOW:,} movements the load counts as steady (common practice, no source)"
    if service.set_removed:
        yield "set removed by the maker: the low end of the allowable range, with direct shear alone"
    yield from memory_notes(service.wire, spring.wire_m, service.constants, set_removed=service.set_removed)


def _shape_steps(spring: Spring) -> Iterator[Step]:
    yield Step("C", "D / d", spring.index, "", "spring index", "shigley", "good between 4 and 12")
    formula = "G * d**4 / (8 * D**3 * Na)"
    yield Step("k", formula, spring.rate_n_m * 1e-3, "N/mm", "rate", "shigley")
    extra = END_COILS[spring.ends]
    yield Step("Nt", f"Na + {extra:g}", spring.total, "", f"all coils, ends {spring.ends}", "shigley")
    solid = "d * Nt" if spring.ends.endswith("ground") else "d * (Nt + 1)"
    yield Step("Ls", solid, spring.solid_m * 1e3, "mm", "length with the coils pressed together", "shigley")
    yield Step("Fs", "k * (L0 - Ls)", spring.solid_force_n, "N", "force that presses them together")


def _strength_steps(spring: Spring, rating: Rating, service: Service) -> Iterator[Step]:
    if service.tensile_pa is None:
        own = service.constants if service.constants != "shigley" else "shigley"
        yield Step("Sut", "A / d**m", rating.tensile_pa * 1e-6, "MPa", "tensile strength of the wire", own)
    source = "shigley_recalled" if service.set_removed else "shigley"
    yield Step(
        "Ssy", f"{rating.fraction:g} * Sut", rating.allowable_pa * 1e-6, "MPa", "allowable shear stress", source
    )
    symbol, formula, meaning = _FACTOR_TEXT[rating.factor]
    value = spring.stress_pa(1.0, rating.factor) / (8 * spring.mean_m / (pi * spring.wire_m**3))
    yield Step(symbol, formula, value, "", meaning, "shigley")
    solid = f"{symbol} * 8 * Fs * D / (pi * d**3)"
    yield Step("tau_s", solid, rating.solid_stress_pa * 1e-6, "MPa", "shear stress pressed solid", "shigley")
    yield Step("n_s", "Ssy / tau_s", rating.solid_yield_safety, "", f"safety solid; good from {SOLID_SAFETY} on")


def _load_steps(spring: Spring, rating: Rating, service: Service) -> Iterator[Step]:
    symbol = _FACTOR_TEXT[rating.factor][0]
    for number, (load, stress) in enumerate(zip(service.loads_n, rating.stress_pa, strict=True), 1):
        length = spring.length_m(load) * 1e3
        formula = f"max(Ls, L0 - F{number} / k)"
        yield Step(f"L{number}", formula, length, "mm", f"length under load {number}")
        formula = f"{symbol} * 8 * F{number} * D / (pi * d**3)"
        yield Step(f"tau{number}", formula, stress * 1e-6, "MPa", f"shear stress at load {number}", "shigley")
    if rating.yield_safety is not None:
        worst = 1 + max(range(len(rating.stress_pa)), key=lambda i: rating.stress_pa[i])
        yield Step("n_y", f"Ssy / tau{worst}", rating.yield_safety, "", "safety against yield at the largest load")


def _buckling_steps(spring: Spring, rating: Rating, service: Service) -> Iterator[Step]:
    if rating.stable_m is None or service.seat == "guided":
        return
    alpha = ALPHA[service.seat]
    seen = "shigley" if service.seat == "fixed_fixed" else "shigley_recalled"
    yield Step("alpha", f"{alpha:g}", alpha, "", f"end factor, {SEAT_MEANING[service.seat]}", seen)
    yield Step(
        "L_st",
        "pi * D / alpha * sqrt(2 * (E - G) / (2 * G + E))",
        rating.stable_m * 1e3,
        "mm",
        "free length below which it never buckles",
        "shigley_recalled",
        f"the short rule 2.63 D / alpha gives {(steel_rule_m(spring, service.seat) or 0.0) * 1e3:.4g} mm",
    )
    if rating.critical_m is None:
        return
    E, G = spring.E_pa, spring.G_pa
    C2 = 2 * pi**2 * (E - G) / (2 * G + E)
    yield Step("C1", "E / (2 * (E - G))", E / (2 * (E - G)), "", "elastic constant", "shigley_recalled")
    yield Step("C2", "2 * pi**2 * (E - G) / (2 * G + E)", C2, "", "elastic constant", "shigley_recalled")
    slenderness = alpha * spring.free_m / spring.mean_m
    yield Step("lam", "alpha * L0 / D", slenderness, "", "slenderness", "shigley_recalled")
    formula = "L0 * C1 * (1 - sqrt(max(0, 1 - C2 / lam**2)))"
    yield Step("y_cr", formula, rating.critical_m * 1e3, "mm", "deflection at which it buckles", "shigley_recalled")


def _fatigue_steps(spring: Spring, rating: Rating, service: Service) -> Iterator[Step]:
    life = rating.life
    if life is None or life.goodman is None:
        return
    Ssa, Ssm = (each * 1e-6 for each in (PEENED_PA if service.peened else UNPEENED_PA))
    alone = len(service.loads_n) == 1
    most = "F1" if alone else f"max({', '.join(f'F{i + 1}' for i in range(len(service.loads_n)))})"
    least = "0" if alone else most.replace("max", "min")
    low = 0.0 if alone else min(service.loads_n)
    Ssu = RUPTURE * rating.tensile_pa * 1e-6
    KB = spring.stress_pa(1.0) / (8 * spring.mean_m / (pi * spring.wire_m**3))
    if rating.factor != "bergstraesser":
        yield Step("KB", _FACTOR_TEXT["bergstraesser"][1], KB, "", _FACTOR_TEXT["bergstraesser"][2], "shigley")
    yield Step("F_lo", least, low, "N", "smallest load of the movement")
    yield Step("F_hi", most, service.most_n, "N", "largest load of the movement")
    formula = "KB * 8 * (F_hi - F_lo) / 2 * D / (pi * d**3)"
    yield Step("tau_a", formula, life.amplitude_pa * 1e-6, "MPa", "amplitude of the shear stress", "shigley")
    formula = "KB * 8 * (F_hi + F_lo) / 2 * D / (pi * d**3)"
    yield Step("tau_m", formula, life.mean_pa * 1e-6, "MPa", "mean shear stress", "shigley")
    yield Step("Ssu", f"{RUPTURE} * Sut", Ssu, "MPa", "torsional rupture", "shigley_recalled")
    yield Step("Ssa", f"{Ssa:g}", Ssa, "MPa", "amplitude of the endurance limit", "zimmerli")
    yield Step("Ssm", f"{Ssm:g}", Ssm, "MPa", "mean of the endurance limit", "zimmerli")
    yield Step(
        "Sse", "Ssa / (1 - Ssm / Ssu)", Ssa / (1 - Ssm / Ssu), "MPa", "Goodman intercept", "shigley_recalled"
    )
    formula = "1 / (tau_a / Sse + tau_m / Ssu)"
    yield Step("n_f", formula, life.goodman, "", "safety against fatigue (Goodman)", "shigley_recalled")


def warnings_of(spring: Spring, rating: Rating, service: Service) -> Iterator[str]:
    """What the user should read first."""
    if not rating.in_range:
        name = service.wire.replace("_", " ")
        size = f"{spring.wire_m * 1e3:.3g} mm"
        yield f"The strength constants of {name} do not cover wire of {size}; ask the maker for its strength."
    if not 4 <= spring.index <= 12:
        yield f"The index is {spring.index:.3g}; below 4 it is hard to wind, above 12 it tangles and is inexact."
    if not 3 <= spring.active <= 15:
        yield f"There are {spring.active:.4g} active coils; 3 to 15 wind and stack well."
    if rating.solid_yield_safety < SOLID_SAFETY:
        yield (
            f"Pressed solid, the safety against yield is {rating.solid_yield_safety:.2f}, below {SOLID_SAFETY}: "
            "put in a stop before the coils touch."
        )
    if service.most_n > spring.solid_force_n:
        yield "A load is more than the coils can take before they touch; lengths end at the solid length."
    if rating.life is not None and rating.life.reason:
        yield f"There is no safety against fatigue: {rating.life.reason}."
