"""What a layout will see, before a hole is drilled: changes, displacements, the unseen, what a blocked chord costs.

    Station of a plan ── sight ──► Sight

Uncertainties are those of the reduction, the ellipses those of the adjustment that later gives the displacements
(`displacement`). Ellipses are standard (k = 1): of two figures with normal errors, k = 2 holds 86 in 100.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import atan2, degrees, inf, sqrt

import numpy as np
from msgspec import Struct

from fieldtui.movement.displacement import WELL_PLACED, Displacements, NoDisplacements, displace
from fieldtui.movement.laws import Array
from fieldtui.movement.network import ChordChange, Network
from fieldtui.movement.planned import Conditions, Planned, planned
from fieldtui.movement.station import fixed_of, shared
from fieldtui.reduction import Quantity
from fieldtui.route import Route, Station

_WAYS = 180
_LEVEL = 15.0


class Ellipse(Struct, frozen=True):
    """An anchor's standard error ellipse: half axes in small units, `angle` of the long one from across, in degrees."""

    anchor: str
    long: float
    short: float
    angle: float


class Alone(Struct, frozen=True):
    """The smallest movement of one anchor alone that shows in a chord beyond its expanded uncertainty, in the
    direction where it has to be largest: small units, infinite where no chord shows it; `way` in words."""

    anchor: str
    size: float
    way: str

    @property
    def seen(self) -> bool:
        return self.size < inf


class Blocked(Struct, frozen=True):
    """What is left without one chord: the largest half axis, and how many times what it was; or why there is none."""

    chord: str
    long: float | None
    anchor: str
    times: float
    why: str
    unread: tuple[str, ...]
    """Anchors that no chord goes to any more."""
    unseen: tuple[Alone, ...]
    """Anchors that can then move, alone, without any chord showing it."""


class Sight(Struct, frozen=True):
    """All of it. Small units."""

    station: Station
    conditions: Conditions
    planned: Planned
    changes: Mapping[str, Quantity]
    """By chord; those that no tape reads are not here."""
    found: Displacements | NoDisplacements
    ellipses: tuple[Ellipse, ...]
    alone: tuple[Alone, ...]
    together: int
    """In how many further ways anchors can move together so that no chord changes, the station's own shift and turn
    left aside."""
    blocked: tuple[Blocked, ...]

    @property
    def largest(self) -> Ellipse | None:
        return max(self.ellipses, key=lambda one: one.long, default=None)


def sight(route: Route, station: Station, conditions: Conditions | None = None) -> Sight:
    """What a station's layout will see with the first tape and extensometer that read its chords."""
    conditions = conditions or Conditions.of(route)
    plan = planned(route, station, conditions)
    changes = {one.chord.name: one.change for one in plan.chords if one.change is not None}
    found = _found(route, station, changes)
    network = _network(route, station, _chord_changes(changes))
    alone = tuple(_alone(network, changes, name, float(route.coverage_factor)) for name in network.names)
    unseen = sum(not one.seen for one in alone) if len(network.names) > 2 else 0
    lacking = 2 * len(network.names) - 3 - network.rank(WELL_PLACED) if changes else 0
    ellipses = ellipses_of(found)
    blocked = tuple(_blocked(route, station, changes, name, ellipses) for name in changes) if len(changes) > 1 else ()
    together = max(0, lacking - unseen)
    return Sight(station, conditions, plan, changes, found, ellipses, alone, together, blocked)


def ellipses_of(found: Displacements | NoDisplacements) -> tuple[Ellipse, ...]:
    """The standard error ellipse of each anchor: the roots of the eigenvalues of its two by two covariance."""
    if isinstance(found, NoDisplacements):
        return ()
    made = []
    for place, name in enumerate(found.anchors):
        part = found.covariance[2 * place : 2 * place + 2, 2 * place : 2 * place + 2]
        values, vectors = np.linalg.eigh(part)
        short, long = (sqrt(max(float(value), 0.0)) for value in values)
        made.append(Ellipse(name, long, short, degrees(atan2(vectors[1, 1], vectors[0, 1])) % 180))
    return tuple(made)


def _found(route: Route, station: Station, changes: Mapping[str, Quantity]) -> Displacements | NoDisplacements:
    chords = _chord_changes(changes)
    fixed = fixed_of(station)
    return displace(_places(route, station, chords), chords, shared(list(changes.values())), fixed)


def _chord_changes(changes: Mapping[str, Quantity]) -> list[ChordChange]:
    """Nothing has moved: it is the uncertainty that is asked for."""
    ends = (name.split("-") for name in changes)
    return [ChordChange(hook, far, 0.0) for hook, far in ends]


def _network(route: Route, station: Station, chords: Sequence[ChordChange]) -> Network:
    places = _places(route, station, chords)
    return Network(tuple(places), np.asarray(list(places.values()), dtype=float).reshape(-1, 2), chords)


def _places(route: Route, station: Station, chords: Sequence[ChordChange]) -> dict[str, tuple[float, float]]:
    small = route.units.small_per_large
    used = {end for one in chords for end in (one.one, one.other)}
    return {one.name: (float(one.across) * small, float(one.up) * small) for one in station.anchors if one.name in used}


def _alone(network: Network, changes: Mapping[str, Quantity], name: str, coverage: float) -> Alone:
    first = 2 * network.names.index(name)
    slopes = network.slopes(np.zeros(network.start.size))[:, first : first + 2]
    angles = np.arange(_WAYS) * np.pi / _WAYS
    ways = np.stack([np.cos(angles), np.sin(angles)])
    shown: Array = np.abs(slopes @ ways)
    expanded = coverage * np.asarray([one.u for one in changes.values()])[:, None]
    with np.errstate(divide="ignore"):
        sizes = np.where(shown > WELL_PLACED, expanded / shown, inf).min(axis=0)
    # the direction of an anchor's only chord may lie between two of those tried
    values, vectors = np.linalg.eigh(slopes.T @ slopes)
    if values[0] <= WELL_PLACED**2:
        return Alone(name, inf, in_words(degrees(atan2(vectors[1, 0], vectors[0, 0]))))
    worst = int(np.argmax(sizes))
    return Alone(name, float(sizes[worst]), in_words(float(degrees(angles[worst]))))


def in_words(angle: float) -> str:
    """A direction without sense, `angle` in degrees from across: words that a person on site has."""
    angle %= 180
    if min(angle, 180 - angle) <= _LEVEL:
        return "across"
    if abs(angle - 90) <= _LEVEL:
        return "up or down"
    side = "right" if angle < 90 else "left"
    return f"on a line rising {min(angle, 180 - angle):.0f} degrees to the {side}"


def _blocked(
    route: Route, station: Station, changes: Mapping[str, Quantity], chord: str, before: Sequence[Ellipse]
) -> Blocked:
    rest = {name: change for name, change in changes.items() if name != chord}
    still_read = {end for name in rest for end in name.split("-")}
    unread = tuple(end for end in chord.split("-") if end not in still_read)
    found = _found(route, station, rest)
    if isinstance(found, NoDisplacements):
        network = _network(route, station, _chord_changes(rest))
        alone = (_alone(network, rest, name, float(route.coverage_factor)) for name in network.names)
        return Blocked(chord, None, "", inf, found.why, unread, tuple(one for one in alone if not one.seen))
    longs = {one.anchor: one.long for one in before}
    grown = [(one.long / longs[one.anchor], one) for one in ellipses_of(found) if longs.get(one.anchor)]
    times, worst = max(grown, key=lambda pair: pair[0], default=(1.0, None))
    return Blocked(chord, worst.long if worst else None, worst.anchor if worst else "", times, "", unread, ())
