"""A station of a job: displacements of its anchors between two of its surveys, from the chords read in both.

Job, station, two surveys ── moved_anchors ──► displace(…) with the covariance that the lengths' sources give
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from msgspec import Struct

from fieldtui.job import Job
from fieldtui.movement.chord import carried_lengths
from fieldtui.movement.datum import Fixed
from fieldtui.movement.displacement import Displacements, NoDisplacements, displace
from fieldtui.movement.laws import Array
from fieldtui.movement.network import ChordChange
from fieldtui.reduction import Measured, Quantity, change, covariance
from fieldtui.route import Station

_NO_TWO = "No two surveys have read the same chords of this station."
Figures = Mapping[str, Mapping[str, Measured]]
"""Chord -> survey's label -> length, carried over segments."""


class StationMoved(Struct, frozen=True):
    """What the chords tell between two surveys."""

    station: Station
    earlier: str
    later: str
    chords: tuple[str, ...]
    found: Displacements | NoDisplacements
    changes: tuple[ChordChange, ...] = ()
    """Of those chords, in their order; small units, negative is closing."""


def fixed_of(station: Station) -> tuple[Fixed, ...]:
    """The anchors that the route takes as unmoved at a station."""
    return tuple(Fixed(one.name, one.fixed) for one in station.anchors if one.fixed is not None)


def moved_anchors(
    job: Job, station: Station, later: str = "", earlier: str = "", fixed: Sequence[Fixed] = ()
) -> StationMoved:
    """Surveys by their labels; none named: the newest, and the first that read all that was read then.

    Small units. Chords that were not read in both surveys are left out.
    """
    figures = {chord.name: _lengths(job, station, chord.name) for chord in station.chords}
    order = [job.labels[survey.id] for survey in job.counting]
    last = later or next((one for one in reversed(order) if any(one in read for read in figures.values())), "")
    wanted = [name for name, read in figures.items() if last in read]
    first = earlier or next((one for one in order if wanted and all(one in figures[name] for name in wanted)), "")
    chords = tuple(name for name in wanted if first in figures[name])
    if not chords or first == last:
        one_chosen = last != "" and first == last and (later or earlier)
        why = f"Begin and end are one survey, {last}." if one_chosen else _NO_TWO
        return StationMoved(station, first, last, (), NoDisplacements(why))
    changes = [change(figures[name][last], figures[name][first]) for name in chords]
    small = job.route.units.small_per_large
    places = {one.name: (float(one.across) * small, float(one.up) * small) for one in station.anchors}
    moved = [_moved(name, one) for name, one in zip(chords, changes, strict=True)]
    return StationMoved(station, first, last, chords, displace(places, moved, shared(changes), fixed), tuple(moved))


def shared(changes: Sequence[Quantity]) -> Array:
    """Covariance of changes: by the errors that they share."""
    return np.asarray([[covariance(one.sources, other.sources) for other in changes] for one in changes])


def _moved(name: str, one: Quantity) -> ChordChange:
    hook, far = name.split("-")
    return ChordChange(hook, far, float(one.value))


def _lengths(job: Job, station: Station, chord: str) -> dict[str, Measured]:
    story = job.account.stories.get((station.name, chord))
    return {past.survey: figure for past, figure in carried_lengths(story)} if story is not None else {}
