"""A chord of a job as a `Course`: its readings that count, carried over segments, with what their errors share.

    ChordStory, Faces ── course_of ──► ChordCourse: the course, and the time and survey of each of its readings

A law is fitted to lengths with one free constant, so the figures are lengths: of the first segment as they are, of a
later one as carried (movement so far and the first baseline). What a reading shares with the booked baseline (its
hole, the tape's steel) cancels in anything counted from it and is left out of both; what is the baseline's alone stays
with the baseline's own readings. A later segment's only baseline set says nothing beyond its offset and is left out.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime
from fractions import Fraction

import numpy as np
from msgspec import Struct

from fieldtui.job.carried import CarriedSegment
from fieldtui.job.faces import Faces
from fieldtui.job.stories import ChordStory
from fieldtui.movement.course import Course
from fieldtui.movement.laws import Array
from fieldtui.reduction import Measured, Past, Quantity, combine
from fieldtui.reduction.sources import Key
from fieldtui.route import ChordKey, Station

_DAY = 86_400.0
_FLOOR = 1e-4
"""Small units: no figure is surer than this, or a route with uncertainties of nil could not be fitted."""


class ChordCourse(Struct, frozen=True):
    """`course` counts from the baseline that counts now; `times` and `surveys` (labels) are of its readings."""

    key: ChordKey
    course: Course
    times: tuple[datetime, ...]
    surveys: tuple[str, ...]
    joins: tuple[datetime, ...]
    """When a new segment began."""


def course_of(
    story: ChordStory,
    faces: Faces,
    ids: Mapping[str, str],
    since: datetime | None = None,
    until: datetime | None = None,
    last: int = 0,
) -> ChordCourse | None:
    """`ids` give a survey's id by its label. `since` leaves out what was read before, as for a refit after a blast,
    `until` what was read after; `last` keeps so many of the newest, 0 all.

    None for a chord without a baseline, or without a reading that is left.
    """
    carried = [
        one
        for one in carried_lengths(story)
        if (since is None or one[0].time >= since) and (until is None or one[0].time <= until)
    ][-last:]
    root = next((one for one in story.segments if one.baseline), None)
    if root is None or not carried:
        return None
    zero = _mean(root)
    values = np.asarray([float(zero.value - figure.value) for _, figure in carried])
    times = [past.time for past, _ in carried]
    station = faces.route.station(story.key[0])
    own, common = _errors([figure for _, figure in carried], zero)
    passed = faces.passed(station) if station is not None else None
    course = Course(
        y=values - _restarted(story, root, zero),
        t=np.asarray([(time - (passed or times[0])).total_seconds() / _DAY for time in times]),
        x=np.asarray([_ahead(faces, station, past, ids) for past, _ in carried]),
        covariance=own,
        common=common,
        origin_known=passed is not None,
    )
    joins = tuple(one.readings[0].time for one in story.segments[1:] if one.readings)
    return ChordCourse(story.key, course, tuple(times), tuple(past.survey for past, _ in carried), joins)


def carried_lengths(story: ChordStory) -> list[tuple[Past, Measured]]:
    """Readings that are not doubtful, in order of time, each as a length that goes on over the segments."""
    root = next((one for one in story.segments if one.baseline), None)
    if root is None:
        return []
    zero = _mean(root)
    found = [pair for segment in story.segments for pair in _carried(segment, root, zero)]
    return sorted(found, key=lambda pair: (pair[0].time, pair[0].survey))


def _carried(segment: CarriedSegment, root: CarriedSegment, zero: Quantity) -> Iterator[tuple[Past, Measured]]:
    if segment is root:
        yield from ((past, past.length) for past in segment.good)
        return
    if segment.offset is None or not segment.baseline:
        return
    for past in segment.good:
        moved = segment.moved(past.length)
        alone = len(segment.baseline) == 1 and past.length is segment.baseline[0].length
        if moved is not None and not alone:
            yield past, combine([(1, moved), (1, zero)])


def _mean(segment: CarriedSegment) -> Quantity:
    share = Fraction(1, len(segment.baseline))
    return combine([(share, past.length) for past in segment.baseline])


def _restarted(story: ChordStory, root: CarriedSegment, zero: Quantity) -> float:
    """Closing that no longer counts, where a baseline was declared that counts from nil again; else nothing."""
    restart = story.rules.restart()
    if restart is None:
        return 0.0
    after = [figure for past, figure in carried_lengths(story) if past.time >= restart.since]
    sets = after[: story.rules.baseline_sets]
    return float(zero.value) - sum(float(one.value) for one in sets) / len(sets) if sets else 0.0


def _ahead(faces: Faces, station: Station | None, past: Past, ids: Mapping[str, str]) -> float:
    ahead = faces.distance(station, past.time, ids.get(past.survey, "")) if station is not None else None
    return np.nan if ahead is None else ahead


def _errors(figures: Sequence[Measured], zero: Quantity) -> tuple[Array, float]:
    """Covariance of the figures without what they share with the baseline, and the baseline's own uncertainty."""
    base = {source.key: source.effect for source in zero.sources}
    places: dict[Key, int] = {}
    for figure in figures:
        for source in figure.sources:
            places.setdefault(source.key, len(places))
    effects = np.zeros((len(figures), len(places)))
    for row, figure in enumerate(figures):
        for source in figure.sources:
            effects[row, places[source.key]] += source.effect
    alone = 0.0
    for key, effect in base.items():
        place = places.get(key)
        # an error that stands in one reading alone is that of a set of the baseline itself
        if place is not None and np.count_nonzero(np.abs(effects[:, place]) > _FLOOR**2) > 1:
            effects[:, place] -= effect
        else:
            alone += effect**2
    return np.asarray(effects @ effects.T + np.eye(len(figures)) * _FLOOR**2), float(alone**0.5)
