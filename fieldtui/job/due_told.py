"""What is due, in words for a person and as plain values for a program."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from fieldtui.counted import counted
from fieldtui.job.calls import Call
from fieldtui.job.due import Due, DueList
from fieldtui.route import Route


def due_lines(told: DueList, route: Route, now: datetime, calls: Sequence[Call] = ()) -> list[str]:
    """What must be read, in walking order, what it takes and what comes next; who has still to be told; what is not
    read any more. `now` in UTC, `calls` those that are open."""
    return [*_lines(told, route, now), *(_call(one, route) for one in calls), *_not_read(told, route)]


def _call(call: Call, route: Route) -> str:
    return (
        f"■ Not told yet: {call.station} {call.chord}, {call.level} ({call.what}), since {_local(call.time, route)}: "
        f"{', '.join(call.untold)}."
    )


def _not_read(told: DueList, route: Route) -> Iterator[str]:
    if told.retired:
        yield f"Retired, not read any more: {', '.join(f'{station} {chord}' for station, chord in told.retired)}."
    closed = [f"{one.name} ({one.note})" if one.note else one.name for one in route.stations if one.closed]
    if closed:
        yield f"Closed, not walked: {', '.join(closed)}."


def _lines(told: DueList, route: Route, now: datetime) -> Iterator[str]:
    if told.to_read:
        yield "To be read today, in walking order:"
        places = [f"{one.station} {one.chord}" for one in told.to_read]
        width = max(len(place) for place in places)
        for place, one in zip(places, told.to_read, strict=True):
            yield f"  {place.ljust(width)}  {_when(one, now)}  ({one.because})"
        taking = "" if told.seconds is None else f", about {duration(told.seconds)} by past surveys"
        late = f", {len(told.overdue)} of them overdue" if told.overdue else ""
        yield f"{counted(len(told.to_read), 'chord')}{late}{taking}."
    else:
        yield "Nothing has to be read today."
    coming = [one for one in told.chords if one.when == "later" and one.at is not None]
    if coming:
        first = min(coming, key=lambda one: one.at or now)
        then = "Next after that" if told.to_read else "Next"
        yield f"{then}: {first.station} {first.chord}, {_local(first.at or now, route)}."
    without = [one for one in told.chords if one.when == "no interval"]
    if without:
        yield f"Without an interval: {', '.join(f'{one.station} {one.chord} ({one.because})' for one in without)}."


def due_sentence(told: DueList) -> str:
    """One line for a start page."""
    if not told.to_read:
        return "Nothing has to be read today."
    late = f", {len(told.overdue)} overdue" if told.overdue else ""
    taking = "" if told.seconds is None else f", about {duration(told.seconds)}"
    return f"To be read today: {counted(len(told.to_read), 'chord')}{late}{taking}."


def due_json(told: DueList, now: datetime, calls: Sequence[Call] = ()) -> dict[str, Any]:
    """The same for a program. Times in UTC, RFC 3339; rates in small units a day, distances in large units."""
    return {
        "at": _utc(now),
        "seconds_a_chord": told.seconds_a_chord,
        "seconds": told.seconds,
        "chords": [
            {
                "station": one.station,
                "chord": one.chord,
                "due": one.when,
                "at": _utc(one.at),
                "last": _utc(one.last),
                "every_hours": None if one.every_hours is None else float(one.every_hours),
                "because": one.because,
                "rate": one.rate,
                "face_distance": one.distance,
            }
            for one in told.chords
        ],
        "retired": [{"station": station, "chord": chord} for station, chord in told.retired],
        "open_calls": [
            {
                "station": one.station,
                "chord": one.chord,
                "level": one.level,
                "what": one.what,
                "state": one.state,
                "since": _utc(one.time),
                "untold": list(one.untold),
            }
            for one in calls
        ],
    }


def duration(seconds: float) -> str:
    """A span of work, to the minute."""
    minutes = max(1, round(seconds / 60))
    return f"{minutes} min" if minutes < 60 else f"{minutes // 60} h {minutes % 60:02d} min"


def _when(one: Due, now: datetime) -> str:
    if one.at is None:
        return "now"
    late = now - one.at
    if late <= timedelta(0):
        return f"in {_span(-late)}"
    return f"overdue by {_span(late)}"


def _span(span: timedelta) -> str:
    hours = span / timedelta(hours=1)
    if hours < 1:
        return f"{hours * 60:.0f} min"
    return f"{hours:.0f} h" if hours < 48 else f"{hours / 24:.0f} days"


def _local(at: datetime, route: Route) -> str:
    return at.astimezone(ZoneInfo(route.time_zone)).strftime("%d %b %H:%M")


def _utc(at: datetime | None) -> str | None:
    return None if at is None else at.isoformat(timespec="seconds").replace("+00:00", "Z")
