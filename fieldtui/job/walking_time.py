"""How long the work takes, as past surveys tell: from one chord to the next, ways between stations counted in."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import datetime
from itertools import pairwise
from statistics import median

from fieldtui.job.readings import Reading
from fieldtui.survey.chord_time import worked

_SURVEYS = 10
"""So many of the newest surveys are looked at."""


def seconds_a_chord(readings: Iterable[Reading]) -> float | None:
    """The typical time from one chord to the next in the newest surveys; None where no two chords follow each other.

    Of each survey the mean, of the surveys the median. Pauses of an hour and more are left out, and so are times that
    are all the same, as of a sheet booked with one time.
    """
    times: dict[str, list[datetime]] = {}
    add_times(times, readings)
    return typical_seconds(times)


def add_times(times: dict[str, list[datetime]], readings: Iterable[Reading]) -> None:
    """Put the times of readings with those of their survey."""
    for reading in readings:
        if not reading.booking.is_earlier:
            times.setdefault(reading.survey, []).append(reading.time)


def typical_seconds(of_survey: Mapping[str, Sequence[datetime]]) -> float | None:
    """As `seconds_a_chord`, from the times of reading of each survey."""
    newest = sorted(of_survey.values(), key=max)[-_SURVEYS:]
    means = [mean for times in newest for mean in _mean(sorted(times))]
    return median(means) if means else None


def _mean(times: Sequence[datetime]) -> Iterator[float]:
    """Seconds a chord in one survey, if it tells."""
    work = worked((after - before).total_seconds() for before, after in pairwise(times))
    if work:
        yield sum(work) / len(work)
