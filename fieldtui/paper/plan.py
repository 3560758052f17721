"""Which survey each row belongs to, as which booking, read with what: everything that is settled before writing.

    rows + job ── plan ──► Sitting (one label: one survey) ──► Planned (one row: one booking)
                      └──► Refused: rows that have no place

Nothing is written or judged here.
"""

from __future__ import annotations

import secrets
from collections.abc import Hashable, Sequence
from datetime import datetime
from zoneinfo import ZoneInfo

from msgspec import Struct, field
from msgspec.structs import replace

from fieldtui.job import SURVEY, Job, Survey
from fieldtui.paper.rows import Row
from fieldtui.paper.standing import Booked, Standing, sameness
from fieldtui.route import Route
from fieldtui.survey import FRAME, Target
from fieldtui.survey.target import Part

Order = tuple[datetime, int]
INSTRUMENTS = ("tape", "extensometer")


class Planned(Struct, frozen=True):
    """One row as one booking."""

    row: Row
    target: Target
    tape: str
    extensometer: str
    assumed: str = ""
    """Said where the sheet does not name the instrument: what was taken."""
    standing: Booked | None = None
    """The booking of this very reading that is there already."""
    twin: int | None = None
    """The line of the same sheet that books the very same reading."""
    begun: Booked | None = None
    """A booking of it that a kill left half written, to be completed."""

    @property
    def order(self) -> Order:
        return (self.row.time, self.row.line)

    @property
    def new(self) -> bool:
        return self.standing is None and self.twin is None

    @property
    def counts(self) -> bool:
        """Whether what the row says counts, as far as it is for the row to say: it was not struck out since."""
        return self.standing is None or not self.standing.since


class Sitting(Struct, frozen=True):
    """The rows of one label, in order of their time."""

    label: str
    survey: str
    route: Route
    """As the survey's log holds it, or will hold it."""
    corrected: Route
    """The same with the figures that journals have set right for its time."""
    standing: Standing | None
    planned: tuple[Planned, ...] = ()
    new_stage: bool = False
    """The stage of construction is another one than in the survey before."""

    @property
    def new(self) -> tuple[Planned, ...]:
        return tuple(one for one in self.planned if one.new)

    @property
    def existing(self) -> Survey | None:
        return self.standing.survey if self.standing is not None else None


class Refused(Struct, frozen=True):
    """A row that has no place in the job as it is."""

    row: Row
    what: str
    todo: str


class _Hand(Struct):
    """What is in hand as the surveys go by: the serials that were last in use, by time."""

    route: Route
    used: list[tuple[datetime, dict[str, str]]] = field(default_factory=list)

    def answered(self, what: str, before: datetime) -> str:
        """What was said last in a survey before a time, or an empty string."""
        earlier = [(time, said[what]) for time, said in self.used if time < before and said.get(what)]
        return max(earlier, key=lambda pair: pair[0])[1] if earlier else ""

    def last(self, what: str, before: datetime) -> str:
        """The serial last in use before a time; else the first of the route."""
        if answered := self.answered(what, before):
            return answered
        listed = self.route.tapes if what == "tape" else self.route.extensometers
        return listed[0].serial


def plan(job: Job, rows: Sequence[Row]) -> tuple[tuple[Sitting, ...], tuple[Refused, ...]]:
    """Every row in its survey, surveys in order of their first row's time; and the rows that have no place."""
    by_label: dict[str, list[Row]] = {}
    for row in sorted(rows, key=lambda row: (row.time, row.line)):
        by_label.setdefault(row.survey, []).append(row)
    hand = _Hand(job.route, _used(job))
    sittings: list[Sitting] = []
    refused: list[Refused] = []
    for label, own in by_label.items():
        there = [one for one in job.surveys if one.label == label and one.scope == SURVEY]
        if len(there) > 1:
            what = f"there are {len(there)} surveys called {label}"
            refused += [Refused(row, what, "give these rows a label of their own") for row in own]
            continue
        survey = there[0] if there else None
        placed = []
        for row in own:
            if survey is None or _known(survey.route, row):
                placed.append(row)
            else:
                what = f"survey {label} was begun with a route that has no such chord"
                refused.append(Refused(row, what, "give these rows a label of their own"))
        if placed:
            sittings.append(_sitting(job, survey, label, placed, hand))
    return tuple(sittings), tuple(refused)


def _known(route: Route, row: Row) -> bool:
    station = route.station(row.station)
    if not row.is_chord:
        return row.chord != FRAME or bool(route.controls)
    return station is not None and any(chord.name == row.chord for chord in station.chords)


def _used(job: Job) -> list[tuple[datetime, dict[str, str]]]:
    """When which instruments were taken up, over all surveys."""
    return [
        (survey.started, {what: survey.state.answer(what) or "" for what in (*INSTRUMENTS, "stage")})
        for survey in job.surveys
    ]


def _sitting(job: Job, survey: Survey | None, label: str, rows: Sequence[Row], hand: _Hand) -> Sitting:
    standing = Standing(survey) if survey is not None else None
    first, last = _span(survey, rows)
    in_use, assumed = _at_first(job.route, survey, rows, hand)
    used: dict[tuple[str, str, str], int] = {}
    seen: dict[Hashable, Planned] = {}
    planned: list[Planned] = []
    for row in rows:
        for what in INSTRUMENTS:
            if what in row.said:
                in_use[what] = row.said[what]
                assumed.pop(what, None)
        key = (row.station, row.chord, _part(row, first, last))
        same = (sameness(row), key[2])
        twin = seen.get(same)
        booked = standing.found(row, key[2]) if standing is not None else None
        begun = standing.begun(row) if standing is not None and booked is None and twin is None else None
        there = booked or begun
        if there is not None:
            old = there.booking
            one = Planned(row, old.target, old.tape, old.extensometer, "", booked, begun=begun)
        else:
            words = ", ".join(assumed.values()) if row.was_read else ""
            if twin is None:
                used[key] = used.get(key, standing.last_reading(*key) if standing is not None else 0) + 1
            target = twin.target if twin is not None else Target(key[0], key[1], used[key], key[2])
            one = Planned(row, target, in_use["tape"], in_use["extensometer"], words)
        planned.append(replace(one, twin=twin.row.line if twin is not None else None))
        seen.setdefault(same, planned[-1])
    stage = next((row.said["stage"] for row in rows if "stage" in row.said), "")
    new_stage = stage not in ("", hand.answered("stage", rows[0].time))
    hand.used.append((rows[0].time, {**in_use, "stage": stage}))
    survey_id = survey.id if survey is not None else secrets.token_hex(8)
    logged = survey.route if survey is not None else job.route
    corrected = job.corrections.route(logged, survey.started if survey is not None else rows[0].time)
    return Sitting(label, survey_id, logged, corrected, standing, tuple(planned), new_stage)


def _at_first(
    route: Route, survey: Survey | None, rows: Sequence[Row], hand: _Hand
) -> tuple[dict[str, str], dict[str, str]]:
    """The instruments at the survey's first row, and for those that nobody named the words that say so."""
    in_use: dict[str, str] = {}
    assumed: dict[str, str] = {}
    for what in INSTRUMENTS:
        stated = next((row.said[what] for row in rows if what in row.said), "")
        told = (survey.state.answer(what) or "") if survey is not None else ""
        in_use[what] = stated or told or hand.last(what, rows[0].time)
        listed = route.tapes if what == "tape" else route.extensometers
        if not stated and not told and len(listed) > 1:
            assumed[what] = f"{what} {in_use[what]} taken, the sheet names none"
    return in_use, assumed


def _span(survey: Survey | None, rows: Sequence[Row]) -> tuple[Order | None, Order | None]:
    """The first and the last chord of the survey, by time and line."""
    orders = [(row.time, row.line) for row in rows if row.is_chord]
    if survey is not None:
        bookings = survey.state.bookings.items()
        orders += [(one.read_at, 0) for target, one in bookings if target.is_chord and one.read_at is not None]
    return min(orders, default=None), max(orders, default=None)


def _part(row: Row, first: Order | None, last: Order | None) -> Part:
    """A frame or zero before the first chord is of the start, one after the last chord of the end."""
    if row.is_chord:
        return ""
    if first is None or last is None or (row.time, row.line) < first:
        return "start"
    return "end" if (row.time, row.line) > last else "between"


def zone_of(route: Route) -> ZoneInfo:
    """The route's time zone."""
    return ZoneInfo(route.time_zone)
