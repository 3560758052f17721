"""What has to be declared and is not guessed. Each question says what can be answered; an answer is a journal's record.

    difference   a figure of the route is not what it was: a new thing, or a mistake?
    gone         a chord that was read last time is no longer in the route: retired, or its station renamed?
    amended      two journals amend one entry differently: which is right?
    fork         two files are one log up to a record and then differ: which counts?

Until it is answered, figures go on as the records have them, and the question stays.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime
from typing import Any, Literal

from msgspec import Struct

from fieldtui.job.amend import Settled
from fieldtui.job.called_now import called_now
from fieldtui.job.corrections import Corrections
from fieldtui.job.declared import Amendment
from fieldtui.job.differences import LATER, Difference, differences
from fieldtui.job.journal import Journals
from fieldtui.job.names import Names
from fieldtui.job.survey import Survey
from fieldtui.log import Fork, LogFolder
from fieldtui.route import ChordKey, Route
from fieldtui.survey import Place

Declaration = tuple[str, dict[str, Any]]
"""A journal's record: its kind and its data."""


class Question(Struct, frozen=True):
    """One thing to be declared. `text` is a whole sentence; one of the others is what it is about."""

    kind: Literal["difference", "gone", "amended", "fork"]
    text: str
    difference: Difference | None = None
    chord: ChordKey | None = None
    entry: Place | None = None
    amendments: tuple[Amendment, ...] = ()
    fork: Fork | None = None

    @property
    def about(self) -> str:
        """What it is about, in a few words."""
        if self.difference is not None:
            return f"{self.difference.name}, {self.difference.key}"
        return " ".join(self.chord) if self.chord is not None else "two files of one log" if self.fork else "an entry"


def questions_of(
    route: Route,
    surveys: Sequence[Survey],
    journals: Journals,
    settled: Settled,
    corrections: Corrections,
    names: Names,
    logs: LogFolder,
) -> Iterator[Question]:
    """Everything open, from the records alone."""
    routes = [(survey, corrections.route(survey.route, survey.started)) for survey in surveys]
    now = corrections.route(route, LATER)
    new_things = called_now(journals, names).new_things
    for one in differences(routes, now, new_things, corrections.all, names):
        yield Question("difference", f"{one}: is it a new thing, or was it a mistake?", difference=one)
    yield from _gone(route, surveys, journals, names)
    for place, amendments in sorted(settled.disputed.items()):
        said = " / ".join("struck" if one.typed is None else f"“{one.typed}”" for one in amendments)
        text = f"Record {place[1]} of log {place[0][:8]} is amended differently by two journals ({said})."
        yield Question("amended", text, entry=place, amendments=amendments)
    for fork in logs.forks:
        files = ", ".join(log.path.name for log in fork.logs)
        text = f"These files are one log up to record {fork.seq} and then differ; none counts: {files}."
        yield Question("fork", text, fork=fork)


def _gone(route: Route, surveys: Sequence[Survey], journals: Journals, names: Names) -> Iterator[Question]:
    """Chords of any survey's route that are no longer in the route of now: the question stays, however many surveys
    are walked before it is answered.
    """
    there = {(station.name, chord.name) for station in route.stations for chord in station.chords}
    chords = called_now(journals, names).chords
    retired = {names.chord((one.station, one.chord), LATER) for one in chords if one.event == "retired"}
    told: set[ChordKey] = set()
    for started, before in _routes(surveys, names):
        for station, chord in before.walk():
            key = names.chord((station.name, chord.name), started)
            if key not in there and key not in retired and key not in told:
                told.add(key)
                text = f"{key[0]} {key[1]} is no longer in the route: was it retired, or its station renamed?"
                yield Question("gone", text, chord=key)


def _routes(surveys: Sequence[Survey], names: Names) -> Iterator[tuple[datetime, Route]]:
    """Every route that a survey was walked by, once for each time between two renamings, the newest first."""
    seen: set[tuple[int, int]] = set()
    changes = names.changes
    for survey in reversed(surveys):
        place = (id(survey.route), sum(1 for at in changes if at <= survey.started))
        if place not in seen:
            seen.add(place)
            yield survey.started, survey.route


# -- answers: what a journal would say ---------------------------------------------------------------------------


def as_new_thing(difference: Difference, since: datetime, by: str, note: str = "") -> Declaration:
    """The thing is another one from a time on: new segments begin there."""
    table, name, part = difference.thing
    return "new_thing", {"table": table, "name": name, "part": part, "since": _text(since), "note": note, "by": by}


def as_mistake(
    difference: Difference,
    right: Literal["old", "new"],
    by: str,
    reason: str,
    since: datetime | None = None,
    until: datetime | None = None,
) -> Declaration:
    """One of the figures was wrong: the other is right for surveys from `since` to before `until`.

    What is set right is named as the routes name it that had it wrong.
    """
    table, name, part = difference.thing if right == "old" else difference.was
    value = as_typed(difference.old if right == "old" else difference.new)
    span = {what: _text(time) for what, time in (("since", since), ("until", until)) if time is not None}
    thing = {"table": table, "name": name, "part": part, "key": difference.key}
    return "correction", {**thing, "value": value, **span, "reason": reason, "by": by}


def as_settled(question: Question, typed: str | None, by: str, reason: str) -> Declaration:
    """What is right where two journals differ: a figure, or None for none. Names both. `ValueError` for no entry."""
    if question.entry is None:
        raise ValueError("not a question about an amended entry")
    log, seq = question.entry
    settles = [{"log": one.written.log, "seq": one.written.seq} for one in question.amendments]
    right = {} if typed is None else {"typed": typed}
    return "struck", {"log": log, "seq": seq, "reason": reason, "by": by, "settles": settles, **right}


def as_typed(value: Any) -> Any:
    """A figure of the route's model as a record holds it."""
    if isinstance(value, bool) or value is None:
        return value
    if isinstance(value, tuple):
        return [str(one) for one in value]
    if hasattr(value, "items"):
        return {str(hole): str(distance) for hole, distance in value.items()}
    return str(value)


def _text(time: datetime) -> str:
    return time.isoformat().replace("+00:00", "Z")
