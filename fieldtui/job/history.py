"""The history of a job: one row for each booking of a chord, with all that follows from it. Plain frozen data.

    Account ── history_of ──► Row, Row … in order of reading time

A row is worked out from earlier readings alone, but for three things that later ones bring: a doubt confirmed, the
mean of a baseline whose sets were not all in, an offset for which both tapes were read later. What the surveyor was
shown stays in the log as evidence.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime

from msgspec import Struct

from fieldtui.job.account import Account
from fieldtui.job.booked import Booked, booked
from fieldtui.job.corrections import Corrections
from fieldtui.job.epochs import Zero, zero_of
from fieldtui.job.readings import Reading
from fieldtui.job.stories import ChordStory
from fieldtui.job.survey import Survey
from fieldtui.reduction import Length, LevelState, Overall, Quantity, Rate, change, judge_levels, overall, rate
from fieldtui.route import ChordKey, Level, Route
from fieldtui.survey import Target


class Row(Struct, frozen=True):
    """One booking. Lengths and changes in the route's small unit, changes negative closing, uncertainties standard."""

    booked: Booked
    """Survey, time, names, figures as typed, outcome, people, remarks, what was struck."""
    key: ChordKey
    """Station and chord by their present names."""
    length: Length | None = None
    logged_length: Length | None = None
    """As reduced with the route that the log holds, where that has been corrected since and makes a difference."""
    segment: int | None = None
    """The number of the chord's segment, from 1; None for a booking without a length."""
    baseline: bool = False
    """One of the sets of its segment's baseline, or of a baseline declared since."""
    counts: bool = False
    """Not doubtful, and the survey's last reading that is not."""
    doubt: str = ""
    """Why it is, or was, doubtful."""
    marks: tuple[str, ...] = ()
    """What has to be known of its instrument beside: see `proof`."""
    confirmed_by: str = ""
    """The survey whose reading confirmed it in spite of that."""
    since_last: Quantity | None = None
    """Since the last survey that was not doubtful, with the same tape, extensometer and anchors."""
    last_time: datetime | None = None
    since_baseline: Quantity | None = None
    """Carried over the segments, from the newest baseline that restarted the count, else from the first."""
    total: Quantity | None = None
    """Carried over everything from the first baseline of all."""
    epoch: str = ""
    """The baseline declared last before it."""
    since_epoch: Quantity | None = None
    rate: Rate | None = None
    """Per day."""
    levels: tuple[LevelState, ...] = ()
    level: Overall | None = None
    asked: tuple[Level, ...] = ()
    """The levels that the survey's own route has for the chord."""
    route: Route | None = None
    """What it was reduced with: the survey's own route, as it was corrected since."""

    @property
    def station(self) -> str:
        return self.key[0]

    @property
    def chord(self) -> str:
        return self.key[1]

    @property
    def doubtful(self) -> bool:
        return self.doubt != "" and self.confirmed_by == ""


def history_of(account: Account, corrections: Corrections) -> tuple[Row, ...]:
    """Every booking of a chord in the account's surveys, in order of reading time."""
    stories = account.stories
    rows = [row for key in stories.under for row in rows_of(account, corrections, key, stories.get(key))]
    return tuple(sorted(rows, key=lambda row: (row.booked.time, row.booked.survey, row.booked.target)))


def rows_of(account: Account, corrections: Corrections, key: ChordKey, story: ChordStory | None) -> Iterator[Row]:
    """The rows of one chord, by its present name; `story` is its own, None for a chord that was never read."""
    names, under = account.names, account.stories.under.get(key, ())
    every = {
        (one.survey, one.target): one
        for survey in account.surveys
        for name in under
        for one in booked(survey, account.labels, survey.bookings_of(name))
        if names.chord(name, one.time) == key
    }
    for row in _story(story, every, account.by_id, corrections) if story is not None else ():
        yield row
        del every[(row.booked.survey, row.booked.target)]
    for one in every.values():
        yield Row(one, key)


def _story(
    story: ChordStory,
    every: Mapping[tuple[str, Target], Booked],
    surveys: Mapping[str, Survey],
    corrections: Corrections,
) -> Iterator[Row]:
    zeros = _Zeros(story)
    before: dict[tuple[str, str, int], _Before] = {}
    for reading in story.readings:
        own = before.setdefault(reading.thing, _Before())
        survey = surveys[reading.survey]
        route = corrections.route(survey.route, survey.started)
        yield _row(story, reading, own, every[(reading.survey, reading.booking.target)], route, zeros)
        if reading.counts:
            own.add(reading)


class _Before:
    """The readings that count before a row, with the same tape, extensometer and anchors."""

    def __init__(self) -> None:
        self._known: list[tuple[datetime, Length]] = []
        self._of_survey: dict[str, int] = {}

    def add(self, reading: Reading) -> None:
        self._of_survey[reading.survey] = len(self._known)
        self._known.append((reading.time, reading.length))

    def of_other_surveys(self, reading: Reading) -> Sequence[tuple[datetime, Length]]:
        """Times and lengths without that of the reading's own survey; earlier lengths all come in one survey."""
        own = self._of_survey.get(reading.survey)
        if own is None or reading.booking.is_earlier:
            return self._known
        return [*self._known[:own], *self._known[own + 1 :]]


def _row(story: ChordStory, reading: Reading, before: _Before, entry: Booked, route: Route, zeros: _Zeros) -> Row:
    known = before.of_other_surveys(reading)
    last_time, last = known[-1] if known else (None, None)
    segment = story.segment(reading)
    total = segment.moved(reading.length) if segment is not None else None
    is_set = segment is not None and any(past.length is reading.length for past in segment.baseline)
    if is_set and segment is not None and (segment.offset is None or segment.offset.nil):
        total = None
    since, epoch, since_epoch, zero_set = zeros.counted(reading, total)
    moving = rate(reading.length, reading.time, known, story.rules.rate_over_hours)
    asked = levels_of(route, reading)
    levels = judge_levels(since, moving, asked, route.coverage_factor)
    return Row(
        entry,
        story.key,
        reading.length,
        reading.logged_length,
        segment.number if segment is not None else None,
        is_set or zero_set,
        reading.counts,
        reading.note,
        reading.marks,
        reading.confirmed_by,
        change(reading.length, last) if last is not None else None,
        last_time,
        since,
        total,
        epoch,
        since_epoch,
        moving,
        levels,
        overall(levels),
        asked,
        route,
    )


class _Zeros:
    """Where the baselines that were declared for a chord count from."""

    def __init__(self, story: ChordStory) -> None:
        self._rules = story.rules
        sets = story.rules.baseline_sets
        self._zero: list[Zero | None] = [zero_of(one, story.segments, sets) for one in story.rules.epochs]

    def counted(self, reading: Reading, total: Quantity | None) -> tuple[Quantity | None, str, Quantity | None, bool]:
        """Movement that counts, the epoch's name, movement since it, whether the reading is one of its sets."""
        epoch, restart = self._rules.epoch(reading.time), self._rules.restart(reading.time)
        since_epoch, is_set = self._since(reading, total, epoch)
        since = total if restart is None else self._since(reading, total, restart)[0]
        return since, epoch.name if epoch is not None else "", since_epoch, is_set

    def _since(self, reading: Reading, total: Quantity | None, epoch: object) -> tuple[Quantity | None, bool]:
        zero = next((zero for one, zero in zip(self._rules.epochs, self._zero, strict=True) if one is epoch), None)
        if zero is None:
            return None, False
        if any(past.length is reading.length for past in zero.sets):
            return None, True
        return (zero.since(total) if total is not None else None), False


def levels_of(route: Route, reading: Reading) -> tuple[Level, ...]:
    """The levels that the survey's own route has for a chord; none where the chord is not in it."""
    station = route.station(reading.booking.target.station)
    chord = station.chord(reading.booking.target.chord) if station is not None else None
    return chord.levels if chord is not None else ()
