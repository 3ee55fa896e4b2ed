"""The worst of all loadings, found without trying each, is the worst of trying each."""

from __future__ import annotations

from itertools import product
from math import atan2, cos, dist, pi, sin

import numpy as np
import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from floorwright.propose.aid.aid import Aid
from floorwright.propose.aid.checks.casters import stiff_loads_n
from floorwright.propose.aid.checks.stability import edges_of
from floorwright.propose.aid.checks.tipping import worst_tilt
from floorwright.propose.aid.layout import Bar, Handle, Layout, Piece, Wheel
from floorwright.propose.aid.spec import AidSpec, Stock
from floorwright.propose.aid.states import State
from floorwright.propose.aid.steel import interaction
from floorwright.propose.aid.subsets import Piles

SQUARE = Stock.model_validate({"section": "HSS1-1/2X1-1/2X1/8", "material": "A500B_shaped"}).made("frame")


def tray(masses: list[float], *, turn: float = 0.0, mirrored: bool = False, width: float = 0.6) -> Layout:
    """A frame of two rails and cross beams on four casters, with pieces along it, turned about the vertical."""
    n, length, h = len(masses), 1.2, 0.25
    c, s = cos(turn), sin(turn)

    def at(x: float, y: float, z: float) -> tuple[float, float, float]:
        y = -y if mirrored else y
        return (x * c - y * s, x * s + y * c, z)

    xs = [-length / 2 + length * i / (n - 1) for i in range(n)]
    section, material = SQUARE
    nodes = {}
    for i, x in enumerate(xs):
        nodes |= {f"l{i}": at(x, width / 2, h), f"r{i}": at(x, -width / 2, h), f"m{i}": at(x, 0.05, h)}
    nodes |= {"hl": at(xs[0], width / 2, 1.0), "hr": at(xs[0], -width / 2, 1.0)}
    pairs = [(f"{side}{i}", f"{side}{i + 1}", f"rail {side}") for side in "lr" for i in range(n - 1)]
    pairs += [pair for i in range(n) for pair in ((f"r{i}", f"m{i}", f"beam {i}"), (f"m{i}", f"l{i}", f"beam {i}"))]
    pairs += [("l0", "hl", "post l"), ("r0", "hr", "post r"), ("hr", "hl", "handle")]
    bars = {
        f"{a}-{b}": Bar(start=a, end=b, role="rail", section=section, material=material, part=part)
        for a, b, part in pairs
    }
    wheels = tuple(
        Wheel(
            name=node,
            node=node,
            at=nodes[node][:2],
            diameter_m=0.125,
            swivel=node.endswith("0"),
            trail_m=0.03 if node.endswith("0") else 0.0,
            rating_kg=200.0,
        )
        for node in ("l0", "r0", f"l{n - 1}", f"r{n - 1}")
    )
    pieces = tuple(
        Piece(
            name=f"piece {i}",
            mass_kg=mass,
            centre=at(xs[i], 0.05, h + 0.4),
            size=(0.05, width, 0.8),
            bears={f"l{i}": 0.2, f"m{i}": 0.5, f"r{i}": 0.3},
        )
        for i, mass in enumerate(masses)
    )
    return Layout(
        pattern="free_frame",
        title="tray",
        nodes=nodes,
        bars=bars,
        wheels=wheels,
        pieces=pieces,
        piles=Piles(rows=tuple((i,) for i in range(n))),
        handle=Handle(height_m=1.0, at={"hl": 0.5, "hr": 0.5}),
        step=("m0",),
        top=("hl", "hr"),
        size=(length, width, h + 0.8),
    )


def aid_of(layout: Layout) -> Aid:
    """With a slope and a bump, so that every kind of state is there."""
    spec = {"pattern": "free_frame", "title": "tray", "route": {"slope": "1 in 40", "bump": "10 mm"}}
    return Aid(AidSpec.model_validate(spec), layout)


def tried(aid: Aid) -> tuple[dict[str, float], dict[str, float]]:
    """Every state, stand and loading one by one: the use of every bar, the load of every support at rest."""
    uses = dict.fromkeys(aid.layout.bars, 0.0)
    loads = {support.name: 0.0 for support in aid.causes.supports}
    search = aid.search
    masks = [np.array(mask, dtype=bool) for mask in product((False, True), repeat=len(aid.layout.pieces))]
    for stand, state in search.places:
        forces, moments = search.base(stand.forces, state), search.shares(stand.forces, state)
        contact, added = search.base(stand.contact, state), search.shares(stand.contact, state)
        for mask in masks:
            reactions = (contact + added @ mask)[list(stand.on)]
            weight = 9.81 * (aid.causes.masses[0] + aid.causes.masses[1:] @ mask)
            if state.kind not in ("obstacle", "bump") and (reactions < -1e-6 * weight).any():
                continue
            if state.words == "at rest":
                for i in stand.on:
                    name = aid.causes.supports[i].name
                    loads[name] = max(loads[name], float((contact + added @ mask)[i]))
            dropped = [i for i in range(len(mask)) if mask[i]] if state.dropped else []
            whole = [forces + moments @ mask + extra for extra in (0.0, *(moments[..., i] for i in dropped))]
            for each in whole:
                for b, (name, strengths) in enumerate(zip(uses, aid.strengths, strict=True)):
                    N, My, Mz = (search.amplifier(state) * each[b, :, i] for i in (0, 4, 5))
                    # The sag of a bar by its own weight is added where it bends, as the search does.
                    own = search.amplifier(state) * state.down * aid.causes.self_moment[b]
                    found = interaction(strengths, N=N, My=np.abs(My) + own, Mz=Mz)
                    axial, one, two = found.axial, found.bending_1, found.bending_2
                    use = np.maximum(axial + 8 / 9 * (one + two), axial / 2 + one + two)
                    uses[name] = max(uses[name], float(use.max()))
    return uses, loads


@pytest.mark.parametrize("masses", [[30.0, 5.0, 60.0], [80.0, 1.0, 1.0, 80.0, 20.0]])
def test_the_worst_of_every_bar_is_that_of_trying_every_loading(masses: list[float]) -> None:
    aid = aid_of(tray(masses))
    uses, loads = tried(aid)
    for name, worst in aid.bars.items():
        assert worst.use is not None
        if uses[name] > 0.5:
            assert worst.use == pytest.approx(uses[name], rel=1e-9), name
        else:
            assert worst.use >= uses[name] * (1 - 1e-9), name
    for support, found in zip(aid.causes.supports, aid.support_loads, strict=True):
        assert found.value == pytest.approx(loads[support.name], rel=1e-9), support.name


@settings(
    max_examples=4,
    deadline=None,
    phases=[Phase.explicit, Phase.generate],
    suppress_health_check=[HealthCheck.too_slow],
)
@given(st.lists(st.floats(0.5, 200.0), min_size=3, max_size=4))
def test_any_masses_give_the_worst_of_trying_every_loading(masses: list[float]) -> None:
    aid = aid_of(tray(masses))
    uses, loads = tried(aid)
    for name, worst in aid.bars.items():
        assert worst.use is not None
        assert worst.use >= uses[name] * (1 - 1e-9)
        if uses[name] > 0.5:
            assert worst.use == pytest.approx(uses[name], rel=1e-9), name
    for support, found in zip(aid.causes.supports, aid.support_loads, strict=True):
        assert found.value == pytest.approx(loads[support.name], rel=1e-9)


def test_reactions_carry_the_weight_and_nothing_else() -> None:
    aid = aid_of(tray([10.0, 20.0, 30.0, 40.0]))
    for stand in aid.causes.stands:
        own = stand.contact[0].sum()
        assert own == pytest.approx(9.80665 * aid.layout.own_kg, rel=1e-9)
        pieces = stand.contact[aid.causes.pieces(0)].sum(axis=1)
        assert pieces == pytest.approx(9.80665 * np.array([10.0, 20.0, 30.0, 40.0]), rel=1e-9)
        for axis in (1, 2):
            assert stand.contact[axis].sum() == pytest.approx(0.0, abs=1e-6)


@settings(max_examples=8, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.floats(0.0, 2 * pi))
def test_turned_about_the_vertical_it_bears_the_same_at_rest(turn: float) -> None:
    plain = State(kind="rest", words="at rest")
    found = []
    for layout in (tray([30.0, 5.0, 60.0]), tray([30.0, 5.0, 60.0], turn=turn)):
        aid = aid_of(layout)
        found.append([extreme.value for extreme in aid.search.support_loads()])
        assert plain.down == 1.0
    assert found[0] == pytest.approx(found[1], rel=1e-9)


def test_mirrored_it_bears_the_same() -> None:
    one, other = aid_of(tray([30.0, 5.0, 60.0])), aid_of(tray([30.0, 5.0, 60.0], mirrored=True))
    for name in one.bars:
        assert one.bars[name].use == pytest.approx(other.bars[name].use, rel=1e-9), name


def test_heavier_pieces_never_use_less() -> None:
    light, heavy = aid_of(tray([30.0, 5.0, 60.0])), aid_of(tray([45.0, 9.0, 90.0]))
    for name in light.bars:
        assert (heavy.bars[name].use or 0.0) >= (light.bars[name].use or 0.0) * (1 - 1e-9), name


def test_a_part_counts_its_length_to_where_other_parts_hold_it() -> None:
    layout = tray([30.0, 5.0, 60.0])
    aid = aid_of(layout)
    lengths = dict(zip(layout.bars, (each.bracing.length_m for each in aid.strengths), strict=True))
    assert lengths["l0-l1"] == pytest.approx(dist(layout.nodes["l0"], layout.nodes["l1"]))
    assert lengths["r0-m0"] == pytest.approx(0.6)  # nothing joins at the middle of a beam


def test_twelve_pieces_give_the_wheel_loads_and_tilts_of_all_4096_loadings_by_statics() -> None:
    """Statics of three supports and of an edge, without the frame: nothing here is solved by the engine."""
    masses = [12.0, 55.0, 3.0, 80.0, 41.0, 9.0, 66.0, 27.0, 5.0, 90.0, 33.0, 18.0]
    aid = aid_of(tray(masses))
    at = [support.at for support in aid.causes.supports]
    own, centre = aid.layout.own_kg, aid.layout.own_centre()
    places = np.array([piece.centre for piece in aid.layout.pieces])
    # The weight of a piece acts where its bearings put it, here also the place of its centre.
    bearing = np.array(
        [
            sum(share * np.array(aid.layout.nodes[node]) for node, share in piece.bears.items())
            for piece in aid.layout.pieces
        ]
    )
    most = [0.0] * len(at)
    tilts: dict[int, float] = {}
    over = edges_of(aid)
    for mask in product((0.0, 1.0), repeat=len(masses)):
        there = np.array(mask) * np.array(masses)
        total = own + there.sum()
        where = (own * np.array(centre) + there @ bearing) / total
        stiff = stiff_loads_n(9.80665 * total, (float(where[0]), float(where[1])), at)
        if stiff is not None:
            most = [max(a, b) for a, b in zip(most, stiff, strict=True)]
        x, y, z = (own * np.array(centre) + there @ places) / total
        for k, each in enumerate(over):
            tilts[k] = min(tilts.get(k, 9.0), atan2(each.edge.inside_m(x, y), z))
    for k, found in enumerate(aid.support_loads):
        assert found.value == pytest.approx(most[k], rel=1e-6)
    for k, each in enumerate(over):
        found_tilt = worst_tilt(each.edge, [aid.fixed], aid.removable, aid.layout.piles).tilt_rad
        assert found_tilt == pytest.approx(tilts[k], rel=1e-9)
