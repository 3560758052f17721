"""Displacements of a station's anchors from the changes of its chords, by least squares, with what cannot be told.

    places of anchors, ChordChange …, covariance, Fixed … ── displace ──► Displacements, or NoDisplacements and why

Lengths are not linear in displacements: the adjustment is repeated from the moved anchors until nothing changes. The
constraints are those of the route, or inner ones (see `datum`). With more chords than it takes, the rest closes on
itself: the weighted sum of squared residuals against chi-squared is one closure test for the station, and each
chord's standardised residual is held against 3.29 (Baarda 1968, alpha0 = 0.001).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from msgspec import Struct
from scipy.linalg import null_space
from scipy.stats import chi2

from fieldtui.counted import counted
from fieldtui.movement.course import inverse_root
from fieldtui.movement.datum import Fixed, assumption, constraints, left_free
from fieldtui.movement.laws import Array
from fieldtui.movement.network import DEFECT, ChordChange, Network

CRITICAL = 3.29
ALPHA = 0.001
WELL_PLACED = 0.01
"""Chords that hold an anchor by less than this share of a chord along the way it moves do not hold it: an error of
theirs would be a hundred times as large there [this program's own choice]."""
_ROUNDS, _STILL = 50, 1e-12
_UNCHECKED = 1e-9


class Residual(Struct, frozen=True):
    """A chord's change less what the anchors make of it, small units. `standardised`: None where no other checks it."""

    chord: str
    value: float
    standardised: float | None

    @property
    def stands_out(self) -> bool:
        return self.standardised is not None and abs(self.standardised) > CRITICAL


class Closure(Struct, frozen=True):
    """The test of the station as a whole. `chance`: of misclosures as large where all is well."""

    redundancy: int
    squares: float
    chance: float

    @property
    def passed(self) -> bool:
        return self.chance >= ALPHA


class Displacements(Struct, frozen=True):
    """Small units, across positive to the right looking towards rising chainage, up positive."""

    anchors: tuple[str, ...]
    values: Array
    """(m, 2): across, up."""
    covariance: Array
    """(2m, 2m), ordered across, up for each anchor; squared small units."""
    assumption: str
    residuals: tuple[Residual, ...]
    closure: Closure | None
    """None where no chord is left over to check with."""
    unchecked: str = ""
    """What the closure cannot tell, in words."""
    rank: int = 0
    """How many of the chords tell something that no others do."""
    fixed: tuple[Fixed, ...] = ()
    """What was taken as unmoved."""

    def held(self, anchor: str) -> tuple[bool, bool]:
        """Whether an anchor was taken as unmoved across and up: its nil there is no measurement."""
        ways = {one.way for one in self.fixed if one.anchor == anchor}
        return bool(ways & {"both", "across"}), bool(ways & {"both", "up"})

    @property
    def needed(self) -> int:
        """The rank that these anchors take."""
        return 2 * len(self.anchors) - DEFECT

    def of(self, anchor: str) -> tuple[float, float]:
        across, up = self.values[self.anchors.index(anchor)]
        return float(across), float(up)

    def u(self, anchor: str) -> tuple[float, float]:
        """Standard uncertainties across and up."""
        first = 2 * self.anchors.index(anchor)
        across, up = np.sqrt(np.maximum(np.diag(self.covariance)[first : first + 2], 0.0))
        return float(across), float(up)


class NoDisplacements(Struct, frozen=True):
    """Why none can be given."""

    why: str


def displace(
    places: Mapping[str, tuple[float, float]],
    changes: Sequence[ChordChange],
    covariance: Array,
    fixed: Sequence[Fixed] = (),
) -> Displacements | NoDisplacements:
    """`places` of anchors (across, up) and changes in one and the same unit, `covariance` of the changes.

    Anchors without a chord among the changes are left out. `KeyError` for a chord to an anchor that has no place.
    """
    names = tuple(name for name in places if any(name in (one.one, one.other) for one in changes))
    start = np.asarray([places[name] for name in names], dtype=float).reshape(-1, 2)
    network = Network(names, start, changes)
    refusal = _refusal(network, fixed)
    if refusal:
        return NoDisplacements(refusal)
    rows = constraints(start, names, fixed)
    free = null_space(rows)
    turn = inverse_root(np.asarray(covariance, dtype=float))
    moved = _adjusted(network, free, turn)
    return _told(network, moved, free, turn, fixed)


def _refusal(network: Network, fixed: Sequence[Fixed]) -> str:
    anchors, chords = len(network.names), len(network.changes)
    needed = 2 * anchors - DEFECT
    if anchors < 3:
        return "One chord tells how far two anchors have closed, and nothing of where each of them went."
    unknown = [one.anchor for one in fixed if one.anchor not in network.names]
    if unknown:
        return f"{', '.join(unknown)} is taken as fixed, and no chord that was read goes there."
    if chords < needed:
        return f"{anchors} anchors need {needed} chords, well placed; read: {chords}. No displacements."
    free = left_free(network.start, constraints(network.start, network.names, fixed))
    if free:
        return f"With {' and '.join(one.anchor for one in fixed)} held, the station is still free to {free}."
    rank = network.rank(WELL_PLACED)
    if rank < needed:
        names = [name for name in network.names if network.without(name).stiff(WELL_PLACED)] or network.names
        return f"The chords do not hold {_listed(names)}: of {counted(chords, 'chord')} only {rank} tell something new."
    return ""


def _adjusted(network: Network, free: Array, turn: Array) -> Array:
    moved = np.zeros(2 * len(network.names))
    for _ in range(_ROUNDS):
        design = turn @ network.slopes(moved) @ free
        off = turn @ (network.read - network.changed(moved))
        step = free @ np.linalg.lstsq(design, off, rcond=None)[0]
        moved = moved + step
        if np.abs(step).max() <= _STILL * np.abs(network.start).max():
            break
    return moved


def _told(network: Network, moved: Array, free: Array, turn: Array, fixed: Sequence[Fixed]) -> Displacements:
    design = turn @ network.slopes(moved) @ free
    cofactor = np.linalg.inv(design.T @ design)
    residuals = network.read - network.changed(moved)
    off = turn @ residuals
    redundancy = len(network.changes) - free.shape[1]
    squares = float(off @ off)
    standardised = _standardised(off, np.eye(len(off)) - design @ cofactor @ design.T, turn)
    return Displacements(
        network.names,
        moved.reshape(-1, 2),
        np.asarray(free @ cofactor @ free.T),
        assumption(fixed),
        tuple(
            Residual(one.name, float(value), size)
            for one, value, size in zip(network.changes, residuals, standardised, strict=True)
        ),
        Closure(redundancy, squares, float(chi2.sf(squares, redundancy))) if redundancy else None,
        _unchecked(redundancy),
        network.rank(WELL_PLACED),
        tuple(fixed),
    )


def _standardised(off: Array, checked: Array, turn: Array) -> list[float | None]:
    """Residuals over their standard deviations, for changes that share errors: (P v)_i over the root of (P Qv P)_ii.

    `off` are the residuals as `turn`, the inverse root of the covariance, makes them, `checked` their cofactor matrix.
    None where the others do not check a chord.
    """
    weighed = turn.T @ off
    spread = np.diag(turn.T @ checked @ turn)
    variances = np.diag(np.linalg.inv(turn.T @ turn))
    controlled = spread * variances > _UNCHECKED
    return [
        float(value / size**0.5) if told else None
        for value, size, told in zip(weighed, spread, controlled, strict=True)
    ]


def _unchecked(redundancy: int) -> str:
    if redundancy == 0:
        return "No chord is left over: a wrong one would not show."
    if redundancy == 1:
        return "One chord is left over: a wrong one shows, but which of them it is cannot be told."
    return ""


def _listed(names: Sequence[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
