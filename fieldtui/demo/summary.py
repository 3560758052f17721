"""One survey in plain lines: every chord's length and changes, and what somebody has to be told."""

from __future__ import annotations

from collections.abc import Iterator

from fieldtui.job import Walk, assess_chord
from fieldtui.reduction import Assessment, Quantity, show_change, show_length, show_u, to_tell
from fieldtui.route import Route
from fieldtui.survey import Booking, words

_COLUMNS = "{:<8}{:<8}{:<18}{:<16}{:<16}{}"

_NO_CALLS = "No figure is above a level or cannot be told from one. That says nothing about the ground itself."


def summary(walk: Walk) -> tuple[str, ...]:
    """The survey so far; expanded uncertainties at the route's coverage factor. A shown level is not a verdict over
    the ground: it compares a value with the numbers that the route states.
    """
    return tuple(_lines(walk))


def _lines(walk: Walk) -> Iterator[str]:
    route = walk.route
    yield f"{route.name}, survey {walk.label}"
    small, factor = route.units.small, route.coverage_factor
    yield f"Lengths and changes in {small}, negative is closing; ± is {factor} standard uncertainties."
    yield ""
    yield _COLUMNS.format("station", "chord", "length", "since last", "since start", "level")
    calls: list[str] = []
    for booking in _chords(walk):
        target = booking.target
        assessment = assess_chord(walk, target) if booking.was_read else None
        if assessment is None or assessment.length is None:
            yield f"{target.station:<8}{target.chord:<8}{words.outcome(booking.outcome)}"
            continue
        yield _row(route, booking, assessment)
        calls += _calls(route, booking, assessment)
    yield ""
    yield from calls or [_NO_CALLS]
    missing = ", ".join(words.place(one) for one in walk.missing)
    yield f"Not dealt with: {missing}" if missing else "Every planned chord was dealt with."


def _chords(walk: Walk) -> Iterator[Booking]:
    """The bookings of chords in the order of the walk."""
    for station, chord in walk.route.walk():
        yield from (one for one in walk.state.readings((station.name, chord.name)) if one.finished)


def _row(route: Route, booking: Booking, assessment: Assessment) -> str:
    target, units, length = booking.target, route.units, assessment.length
    assert length is not None
    measured = f"{show_length(length.value, units)} ±{show_u(float(route.coverage_factor) * length.u, units)}"
    state = assessment.level
    level = "" if state is None else f"{state.state} {state.level}" if state.level else state.state
    moved = (_moved(route, assessment.since_last), _moved(route, assessment.since_baseline))
    return _COLUMNS.format(target.station, target.chord, measured, *moved, level).rstrip()


def _moved(route: Route, change: Quantity | None) -> str:
    if change is None:
        return "-"
    return f"{show_change(change.value, route.units)} ±{show_u(float(route.coverage_factor) * change.u, route.units)}"


def _calls(route: Route, booking: Booking, assessment: Assessment) -> Iterator[str]:
    """Everything that is above a level or cannot be told from it, with the response agreed and whom to tell."""
    small = route.units.small
    for one in to_tell(assessment.levels):
        day = " a day" if one.what == "rate" else ""
        yield (
            f"{one.state.upper()}: {booking.target.station} {booking.target.chord}, level {one.level} "
            f"({one.what} {one.limit:f} {small}{day})"
        )
        level = next(level for level in route.levels if level.name == one.level)
        yield f"    {level.response}; tell {', '.join(level.tell)}"
