"""The worst that each bar and support gets, over all states, all stands and all loadings, without trying each.

A bar's use by AISC 360 chapter H is the larger of two sums of shares, so it is a largest value of linear functions
of the forces (one for each choice of signs); a linear function is largest where each pile of pieces holds what
pushes it up (`subsets`). A loading under which a support would have to pull the frame down cannot stand on that set
of supports: where such a one comes out worst and it matters, the loadings that can stand are compared one by one
(up to `MOST_TRIED`); beyond, the impossible loading is kept, which errs on the safe side.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import product
from math import cos, pi, sin
from typing import Final

import numpy as np
from numpy.typing import NDArray

from floorwright.propose.aid.frame.stability import Floats
from floorwright.propose.aid.stands import Causes, Stand
from floorwright.propose.aid.states import State
from floorwright.propose.aid.steel import MemberStrengths
from floorwright.propose.aid.subsets import Mask, Piles

MOST_TRIED: Final = 1 << 16
"""Loadings that are compared one by one."""
REFINE_FROM: Final = 0.5
"""Use of a bar from which impossible loadings are ruled out one by one."""
_ROUNDS: Final = 400
_PULL: Final = 1e-6  # of the weight: a reaction below it is none
ALPHA: Final = 1.6
"""ASD loads are raised by this to look at the second-order effect (AISC 360 appendix 8, from memory)."""
MOST_AMPLIFIED: Final = 10.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Where:
    """Which state, stand and loading something is worst in."""

    state: State
    on: tuple[int, ...]
    there: tuple[bool, ...]
    dropped: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class BarWorst:
    """The worst of one bar.

    Attributes:
        use: by AISC 360 H1 (H2 for angles), first-order forces times the amplifier; None where a strength that
            is needed is unknown.
        where: state, stand and loading that make it so; end: 0 or 1.
        forces: the six forces there, amplified.
        vectors: the forces at both ends where each single force or share is largest, (ways, 6), amplified; for
            joints.
        places: which of `Search.places` each of them comes from, (2, ways); loads: with which pieces, (2, ways,
            pieces).
        amplifier: second-order amplifier there.
        exact: whether no impossible loading was kept.
    """

    use: float | None
    where: Where
    end: int
    forces: tuple[float, ...]
    vectors: tuple[Floats, Floats]
    places: NDArray[np.intp]
    loads: Mask
    amplifier: float
    exact: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Extreme:
    """A largest value and where it occurs."""

    value: float
    where: Where
    exact: bool = True


class Search:
    """Looks for the worst over states, stands and loadings; holds what is shared between the questions."""

    def __init__(self, causes: Causes, states: Sequence[State], drop: float) -> None:
        self.causes = causes
        self.states = tuple(states)
        self.piles = causes.layout.piles
        self.drop = drop
        self.places = [(stand, state) for stand in causes.stands for state in states if _fits(causes, stand, state)]

    def base(self, response: Floats, state: State) -> Floats:
        """What acts without any piece; `response` is (causes, ...)."""
        c = self.causes
        total = state.down * response[0] + state.level[0] * response[1] + state.level[1] * response[2]
        if state.blow is not None:
            total = total - self._stopping(state) * c.masses[0] * response[self._blow(state)]
        for cause, factor in state.extra:
            total = total + factor * response[cause]
        return np.asarray(total)

    def shares(self, response: Floats, state: State) -> Floats:
        """What each piece adds, in the last axis."""
        c = self.causes
        total = state.down * response[c.pieces(0)]
        for axis in (0, 1):
            if state.level[axis]:
                total = total + state.level[axis] * response[c.inertia(axis, state.level[axis])]
        if state.blow is not None:
            blow = response[self._blow(state)]
            total = total - self._stopping(state) * np.multiply.outer(c.masses[1:], blow)
        return np.moveaxis(np.asarray(total), 0, -1)

    def needed(self, state: State) -> list[int]:
        """The causes that a state is made of."""
        n = self.causes.n
        found = [0, 1, 2, *range(3, 3 + 5 * n), *(cause for cause, _ in state.extra)]
        return [*found, self._blow(state)] if state.blow is not None else found

    def _stopping(self, state: State) -> float:
        return state.level[0] + state.level[1]

    def _blow(self, state: State) -> int:
        assert state.blow is not None  # noqa: S101  asked only where something is struck
        k, axis = state.blow
        return self.causes.number[f"blow {self.causes.supports[k].name} {axis}"]

    def highest(self, base: Floats, shares: Floats, state: State) -> Floats:
        """The largest values over the loadings."""
        top = base + self.piles.highest(shares)
        if state.dropped and shares.shape[-1]:
            top = top + (self.drop - 1) * np.maximum(shares.max(axis=-1), 0.0)
        return np.asarray(top)

    def amplifier(self, state: State) -> float:
        """1 / (1 - alpha / factor), AISC 360 appendix 8, by the factor at which the frame buckles."""
        factor = self.causes.buckling
        if factor is None:
            return 1.0
        left = 1 - ALPHA * state.down / factor
        return 1 / left if left > 1 / MOST_AMPLIFIED else MOST_AMPLIFIED

    def support_loads(self, turned: Iterable[tuple[str, Stand]] = ()) -> tuple[Extreme, ...]:
        """The most that each support gets at rest; with `turned` (words, stand) also with its swivels so."""
        found = []
        plain = State(kind="rest", words="at rest")
        ways = [(plain, stand) for stand in self.causes.stands]
        ways += [(replace(plain, words=f"at rest, swivels turned {words}"), stand) for words, stand in turned]
        for k in range(len(self.causes.supports)):
            best: Extreme | None = None
            for state, stand in ways:
                if k not in stand.on:
                    continue
                each = self.over_loadings(stand.contact[:, k], stand, state)
                if each is not None and (best is None or each.value > best.value):
                    best = each
            where = Where(state=plain, on=(), there=(False,) * self.causes.n)
            found.append(best or Extreme(value=0.0, where=where))
        return tuple(found)

    def largest(self, responses: Sequence[tuple[Stand, Floats]], state: State) -> Extreme | None:
        """The largest value of a response given for stands, over the loadings that can stand there."""
        found = [self.over_loadings(response, stand, state) for stand, response in responses]
        kept = [each for each in found if each is not None]
        return max(kept, key=lambda each: each.value) if kept else None

    def over_loadings(self, response: Floats, stand: Stand, state: State) -> Extreme | None:
        """The largest of one response over the loadings that can stand; None where none can."""
        base, shares = float(self.base(response, state)), self.shares(response, state)
        there = self.piles.choice(shares)
        if self.stands_on(stand, state, there):
            value = float(self.highest(np.asarray(base), shares, state))
            return Extreme(value=value, where=self.place(stand, state, there, shares))
        masks = all_masks(self.piles)
        if masks is None:
            value = float(self.highest(np.asarray(base), shares, state))
            return Extreme(value=value, where=self.place(stand, state, there, shares), exact=False)
        can = self._standing(stand, state, masks)
        if not can.any():
            return None
        values = base + masks[can] @ shares
        if state.dropped:
            dropped = np.where(masks[can], np.maximum(shares, 0.0), 0.0)
            values = values + (self.drop - 1) * dropped.max(axis=1, initial=0.0)
        best = int(np.argmax(values))
        there = masks[can][best]
        return Extreme(value=float(values[best]), where=self.place(stand, state, there, shares))

    def place(self, stand: Stand, state: State, there: Mask, shares: Floats) -> Where:
        """As it goes into the sheet."""
        dropped = None
        if state.dropped and there.any():
            dropped = int(np.argmax(np.where(there, shares, -np.inf)))
        return Where(state=state, on=stand.on, there=tuple(bool(x) for x in there), dropped=dropped)

    def stands_on(self, stand: Stand, state: State, there: Mask) -> bool:
        """Whether no support would have to pull the frame down."""
        return bool(self._standing(stand, state, there[None])[0])

    def _standing(self, stand: Stand, state: State, masks: Mask) -> NDArray[np.bool_]:
        if state.kind in TRANSIENT:
            return np.ones(len(masks), dtype=bool)
        on = list(stand.on)
        base, shares = self._contacts(stand, state)
        reactions = base + masks @ shares.T
        weight = self.causes.masses[0] + masks @ self.causes.masses[1:]
        return (
            np.asarray((reactions >= -_PULL * 9.81 * weight[:, None]).all(axis=1))
            if on
            else np.zeros(len(masks), bool)
        )

    def _contacts(self, stand: Stand, state: State) -> tuple[Floats, Floats]:
        contact = stand.contact[:, list(stand.on)]
        return self.base(contact, state), self.shares(contact, state)

    def where(self, bar: BarWorst, end: int, way: int) -> Where:
        """Which state, stand and loading one of the vectors of a bar comes from."""
        stand, state = self.places[int(bar.places[end, way])]
        return Where(state=state, on=stand.on, there=tuple(bool(x) for x in bar.loads[end, way]))

    def bars(self, strengths: Sequence[MemberStrengths]) -> tuple[BarWorst, ...]:
        """The worst of every bar."""
        coefficients, sums = _functions(strengths)
        return _Bars(self, coefficients, sums, strengths).worst()


@lru_cache(maxsize=8)
def _masks(rows: tuple[tuple[int, ...], ...]) -> Mask:
    counts = np.indices([len(row) + 1 for row in rows], dtype=np.int16).reshape(len(rows), Piles(rows=rows).count())
    found = np.zeros((counts.shape[1], sum(map(len, rows))), dtype=bool)
    for row, count in zip(rows, counts, strict=True):
        for height, piece in enumerate(row):
            found[:, piece] = count > height
    return found


def all_masks(piles: Piles) -> Mask | None:
    """Every loading; None where there are too many."""
    return _masks(piles.rows) if piles.count() <= MOST_TRIED else None


TRANSIENT: Final = frozenset({"obstacle", "bump"})
"""Blows. The frame then stands on all its supports, and one that would lift is taken to hold it down: the wheels do
lift for a moment, and what the frame feels is less."""


def _fits(causes: Causes, stand: Stand, state: State) -> bool:
    if state.kind in TRANSIENT:
        return len(stand.on) == len(causes.supports)
    return not stand.swung


_DIRECTIONS: Final = 8
SINGLE: Final = tuple(product(range(6), (1.0, -1.0)))
"""The single forces, both ways, that come after the sums of shares."""


def _functions(strengths: Sequence[MemberStrengths]) -> tuple[Floats, NDArray[np.bool_]]:
    """Coefficients (bars, functions, 6), and which functions are sums of shares that make a use."""
    rows = [_sums(each) for each in strengths]
    most = max(map(len, rows), default=0)
    found = np.zeros((len(rows), most + len(SINGLE), 6))
    uses = np.zeros((len(rows), most + len(SINGLE)), dtype=bool)
    for i, row in enumerate(rows):
        if row:
            found[i, : len(row)] = row
            uses[i, : len(row)] = True
    for j, (force, sign) in enumerate(SINGLE):
        found[:, most + j, force] = sign
    return found, uses


def _sums(s: MemberStrengths) -> list[list[float]]:
    """The sums of shares of H1-1a and H1-1b (H2-1 for angles), one for each choice of signs."""
    capacities = (s.tension.available, s.compression.available, s.flexure_1.available, s.flexure_2.available)
    if any(each is None for each in capacities):
        return []
    pull, thrust, one, two = (float(each or 0.0) for each in capacities)
    moments: list[tuple[float, float]]
    if s.bending == "resultant":
        angles = [2 * pi * i / _DIRECTIONS for i in range(_DIRECTIONS)]
        moments = [(cos(a) / one, sin(a) / one) for a in angles]
    else:
        c, si = cos(s.turn_rad), sin(s.turn_rad)
        moments = [
            (a * c / one - b * si / two, a * si / one + b * c / two) for a, b in product((1.0, -1.0), repeat=2)
        ]
    sums = []
    weights = ((1.0, 1.0),) if s.bending == "principal" else ((1.0, 8 / 9), (0.5, 1.0))
    for axial in (1 / pull, -1 / thrust):
        for on_axial, on_moment in weights:
            sums += [[on_axial * axial, 0.0, 0.0, 0.0, on_moment * y, on_moment * z] for y, z in moments]
    return sums


class _Bars:
    """All bars at once: every function at both ends in every state on every stand."""

    def __init__(
        self,
        search: Search,
        coefficients: Floats,
        uses: NDArray[np.bool_],
        strengths: Sequence[MemberStrengths],
    ) -> None:
        self.s, self.c, self.uses, self.strengths = search, coefficients, uses, strengths
        self.values = self._all()
        self.at = np.argmax(self.values, axis=0)
        self.vectors, self.loads = self._vectors()

    def _response(self, stand: Stand) -> Floats:
        """(causes, bars, ends, functions)."""
        causes, bars = stand.forces.shape[:2]
        by_bar = stand.forces.transpose(1, 0, 2, 3).reshape(bars, 2 * causes, 6)
        found = by_bar @ self.c.transpose(0, 2, 1)
        return np.asarray(found.reshape(bars, causes, 2, -1).transpose(1, 0, 2, 3))

    def _all(self) -> Floats:
        """(places, bars, ends, functions), with the amplifier and the bar's own sag."""
        s = self.s
        by_place: list[Floats] = []
        # Own weight between the nodes bends a bar about y a little more than at its ends.
        own = np.abs(self.c[:, :, 4]) * s.causes.self_moment[:, None]
        for stand in s.causes.stands:
            response = self._response(stand)
            tops: dict[tuple[object, ...], Floats] = {}
            for state in s.states:
                if not _fits(s.causes, stand, state):
                    continue
                key = (*state.group, state.dropped)
                if key not in tops:
                    shares = s.shares(response, state)
                    tops[key] = s.highest(np.zeros(shares.shape[:-1]), shares, state)
                top = s.base(response, state) + tops[key] + state.down * own[:, None, :]
                by_place.append(s.amplifier(state) * top)
        return np.array(by_place)

    def worst(self) -> tuple[BarWorst, ...]:
        """Bar by bar."""
        return tuple(self._bar(b) for b in range(len(self.strengths)))

    def _bar(self, b: int) -> BarWorst:
        values = self.values[:, b]
        vectors = (self.vectors[b, 0], self.vectors[b, 1])
        uses = np.where(self.uses[b], values, -np.inf)
        if not self.uses[b].any():
            first = np.unravel_index(int(np.argmax(values)), values.shape)
            return self._made(b, int(first[0]), int(first[1]), None, vectors, None, exact=True)
        refined: dict[tuple[int, int, int], tuple[Mask, bool]] = {}
        for _ in range(_ROUNDS):
            place, end, f = (int(i) for i in np.unravel_index(int(np.argmax(uses)), uses.shape))
            value = float(uses[place, end, f])
            if not np.isfinite(value):
                return self._made(b, 0, 0, 0.0, vectors, None, exact=True)
            if (place, end, f) in refined:
                there, exact = refined[place, end, f]
                return self._made(b, place, end, value, vectors, there, exact=exact)
            stand, state = self.s.places[place]
            response = stand.forces[:, b, end] @ self.c[b, f]
            there = self.s.piles.choice(self.s.shares(response, state))
            if value < REFINE_FROM or self.s.stands_on(stand, state, there):
                return self._made(b, place, end, value, vectors, there, exact=True)
            one = self.s.over_loadings(response, stand, state)
            if one is None:
                uses[place, end, f] = -np.inf
                continue
            own = state.down * abs(self.c[b, f, 4]) * self.s.causes.self_moment[b]
            uses[place, end, f] = self.s.amplifier(state) * (one.value + own)
            refined[place, end, f] = (np.array(one.where.there), one.exact)
        place, end, f = (int(i) for i in np.unravel_index(int(np.argmax(uses)), uses.shape))
        return self._made(b, place, end, float(uses.max()), vectors, None, exact=False)

    def _made(
        self,
        b: int,
        place: int,
        end: int,
        use: float | None,
        vectors: tuple[Floats, Floats],
        there: Mask | None,
        *,
        exact: bool,
    ) -> BarWorst:
        stand, state = self.s.places[place]
        mask = np.zeros(self.s.causes.n, dtype=bool) if there is None else there
        amplifier = self.s.amplifier(state)
        forces = amplifier * self._at(stand, state, b, end, mask)
        where = self.s.place(stand, state, mask, np.zeros(self.s.causes.n))
        return BarWorst(
            use=use,
            where=where,
            end=end,
            forces=tuple(float(x) for x in forces),
            vectors=vectors,
            places=self.at[b],
            loads=self.loads[b],
            amplifier=amplifier,
            exact=exact,
        )

    def _at(self, stand: Stand, state: State, b: int, end: int, mask: Mask) -> Floats:
        response = stand.forces[:, b, end]
        return np.asarray(self.s.base(response, state) + self.s.shares(response, state) @ mask)

    def _vectors(self) -> tuple[Floats, Mask]:
        """Forces where each function is largest, (bars, ends, functions, 6), amplified, and the pieces on it."""
        s, at = self.s, self.at
        found, loads = np.empty((*at.shape, 6)), np.zeros((*at.shape, self.s.causes.n), dtype=bool)
        for place in np.unique(at):
            stand, state = s.places[int(place)]
            b, end, f = np.nonzero(at == place)
            response = stand.forces[:, b, end]
            used = s.needed(state)
            value = np.zeros(response.shape[:2])
            value[used] = np.einsum("kij,ij->ki", response[used], self.c[b, f])
            there = s.piles.choices(s.shares(value, state))
            shares = s.shares(response, state)
            forces = s.base(response, state) + np.einsum("ijn,in->ij", shares, there.astype(float))
            if state.dropped and s.causes.n:
                worst = np.argmax(s.shares(value, state), axis=-1)
                forces = forces + (s.drop - 1) * np.take_along_axis(shares, worst[:, None, None], axis=-1)[..., 0]
            found[b, end, f] = s.amplifier(state) * forces
            loads[b, end, f] = there
        return found, loads
