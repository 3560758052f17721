"""What comes next in a survey: a pure function of the route and the state.

    say…, zero, frame  ->  ( arrive -> hole, dial ×3 to 5, (hole), temperature -> result )…  ->  zero, frame  ->  end

Another tape or extensometer in the middle is proved like the first one before it is read with. Where the route states
`zero_check_every`, the dial zero is read again between stations and at the end; after the dial was off, at once.
Since the step is a function of the records alone, whoever comes back to a survey stands before the very same prompt.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import Literal

from msgspec import Struct
from msgspec.structs import replace

from fieldtui.reduction import judge_repeats
from fieldtui.route import Route
from fieldtui.survey.state import Booking, State
from fieldtui.survey.target import DIALS, PLANNED_DIALS, Target, frame_target, zero_target
from fieldtui.survey.tended import DIAL
from fieldtui.survey.typed import whole

Kind = Literal["say", "arrive", "figure", "result", "end", "closed"]


class Step(Struct, frozen=True):
    """One prompt. `what` names the question of a `say`, the slot of a `figure`, the station of an `arrive`."""

    kind: Kind
    what: str = ""
    target: Target | None = None
    optional: bool = False
    """Whether an empty answer can be booked: no recorder, face not known, a further repeat not taken."""
    lost_before: int = 0
    """Bookings whose answer to this question was lost with a damaged record: this answer is theirs as well."""


def questions(route: Route) -> Iterator[Step]:
    """What is asked once at the start, in order."""
    yield Step("say", "reader")
    yield Step("say", "recorder", optional=True)
    yield Step("say", "tape")
    yield Step("say", "extensometer")
    for face in route.faces:
        yield Step("say", f"face {face.name}", optional=True)
    yield Step("say", "stage", optional=True)
    yield Step("say", "cautions")


Twice = Callable[[Booking], bool]
"""Whether a booking's hole is to be read twice, since a misread one could not be told from movement."""


def never(booking: Booking) -> bool:
    """Where nothing is known of the ground, the hole is asked for once."""
    return False


def next_step(route: Route, state: State, twice: Twice = never) -> Step:
    """The prompt that the surveyor stands before."""
    if state.closed:
        return Step("closed")
    for question in questions(route):
        if question.what not in state.said:
            return replace(question, lost_before=len(state.nameless(question.what)))
    for target in _first_proofs(route):
        if not _finished(state, target):
            return _within(route, state, target, twice)
    unproved = _unproved(route, state)
    if unproved is not None:
        return _within(route, state, unproved, twice)
    if zero_lost(state):
        return _within(route, state, _zero_between(state), twice)
    if state.going is not None:
        return _within(route, state, state.going, twice)
    ahead = None if state.ending else _broken(route, state) or _next_chord(route, state)
    if ahead is not None:
        due = state.going is None and ahead.station != state.at and zero_due(route, state)
        return _within(route, state, _zero_between(state) if due else ahead, twice)
    zero = _closing_zero(state) if route.zero_check_every is not None else None
    if zero is not None:
        return _within(route, state, zero, twice)
    frame = _closing_frame(state) if route.controls else None
    return Step("end") if frame is None else _within(route, state, frame, twice)


def missing(route: Route, state: State) -> tuple[Target, ...]:
    """Planned chords that are neither read nor booked as not read, in the order of the walk."""
    return tuple(target for target in _planned(route) if not _finished(state, target))


def _planned(route: Route) -> Iterator[Target]:
    for station, chord in route.walk():
        yield Target(station.name, chord.name)


def _first_proofs(route: Route) -> Iterator[Target]:
    """What proves the instrument before anything is read with it: the dial zero and the control frame."""
    yield zero_target("start")
    if route.controls:
        yield frame_target("start")


def _unproved(route: Route, state: State) -> Target | None:
    """The zero or frame of a tape or extensometer that was taken in the middle of the survey and is not proved yet.

    Booked as not read counts as dealt with: the frame may be far away.
    """
    tape, extensometer = state.answer("tape"), state.answer("extensometer")
    zeros = [booking for target, booking in state.bookings.items() if target.is_zero]
    if not any(booking.extensometer == extensometer for booking in zeros if booking.finished):
        return _next_reading(zeros, zero_target("start"))
    frames = [booking for target, booking in state.bookings.items() if target.is_frame]
    done = [booking for booking in frames if booking.finished and not booking.broken]
    if route.controls and not any((one.tape, one.extensometer) == (tape, extensometer) for one in done):
        return _next_reading(frames, frame_target("start"))
    return None


def _next_reading(bookings: Sequence[Booking], first: Target) -> Target:
    """The target of the same part that comes after those that are finished."""
    same = [booking for booking in bookings if booking.target.part == first.part]
    newest = max(same, key=lambda booking: booking.target.reading, default=None)
    if newest is None:
        return first
    return newest.target.again() if newest.finished and not newest.broken else newest.target


def _closing_frame(state: State) -> Target | None:
    """The control frame at the end, once more where a chord was read after it: it proves only what came before it."""
    frames = [booking for target, booking in state.bookings.items() if target.is_frame and target.part == "end"]
    chords = [booking.read_order for target, booking in state.bookings.items() if target.is_chord]
    last = max(chords, default=0)
    if any(frame.finished and not frame.broken and frame.read_order > last for frame in frames):
        return None
    return _next_reading(frames, frame_target("end"))


def zero_lost(state: State) -> bool:
    """Whether something was booked of the dial (it was off, say) after which its zero was not read yet."""
    said = state.said.get(DIAL)
    return said is not None and said.read_order > _zero_read(state)


def zero_due(route: Route, state: State) -> bool:
    """Whether as many stations were read since the dial zero as the route allows."""
    last = _zero_read(state)
    read = {
        target.station
        for target, booking in state.bookings.items()
        if target.is_chord and booking.was_read and booking.read_order > last
    }
    return route.zero_check_every is not None and len(read) >= route.zero_check_every


def _zero_read(state: State) -> int:
    """The running number of the newest dial zero of the extensometer in use; not read counts as dealt with.

    A zero set right later was read when it was read: it says nothing of what came in between.
    """
    serial = state.answer("extensometer")
    zeros = [booking for target, booking in state.bookings.items() if target.is_zero]
    own = (one for one in zeros if one.extensometer == serial and one.finished)
    return max((one.ended.read_order for one in own if one.ended is not None), default=0)


def _zero_between(state: State) -> Target:
    zeros = [booking for target, booking in state.bookings.items() if target.is_zero]
    return _next_reading(zeros, zero_target("between"))


def _closing_zero(state: State) -> Target | None:
    """The dial zero at the end, once more where a chord was read after it."""
    zeros = [booking for target, booking in state.bookings.items() if target.is_zero and target.part == "end"]
    last = max((booking.read_order for target, booking in state.bookings.items() if target.is_chord), default=0)
    if any(zero.finished and zero.ended is not None and zero.ended.read_order > last for zero in zeros):
        return None
    return _next_reading(zeros, zero_target("end"))


def _finished(state: State, target: Target) -> bool:
    """Whether any reading of this chord, frame or zero has been accepted and is whole, or is booked as not read."""
    one = state.bookings.get(target)
    if one is not None and one.finished and not one.broken:
        return True
    return target.is_chord and any(booking.finished and not booking.broken for booking in state.readings(target.key))


def _broken(route: Route, state: State) -> Target | None:
    """A planned chord that was accepted and of which a damaged log has lost a figure since."""
    for target in _planned(route):
        if not _finished(state, target):
            for booking in state.readings(target.key):
                if booking.broken:
                    return booking.target
    return None


def _next_chord(route: Route, state: State) -> Target | None:
    """The first chord after the one dealt with last that still wants reading; None at the end of the route."""
    planned = list(_planned(route))
    start = 0
    if state.last is not None:
        lines = [target.line for target in planned]
        start = lines.index(state.last.line) + 1 if state.last.line in lines else 0
    return next((target for target in planned[start:] if not _finished(state, target)), None)


def _within(route: Route, state: State, target: Target, twice: Twice) -> Step:
    """The prompt inside one booking."""
    if target.is_chord and state.at != target.station:
        return Step("arrive", target.station, target)
    booking = state.bookings.get(target) or Booking(target, state.answer("tape") or "", "")
    if target.is_zero:
        return Step("figure", "zero", target)
    if booking.outcome and not booking.was_read:
        # chosen again although it was booked as not read: it can be read after all
        booking = Booking(target, booking.tape, booking.extensometer, booking.slots)
    for slot in ("hole", *PLANNED_DIALS):
        if slot not in booking.slots:
            return Step("figure", slot, target)
    further = _further_repeat(route, state, booking)
    if further is not None:
        return Step("figure", further, target, optional=True)
    hole = _hole_to_read(booking, twice)
    if hole is not None:
        return Step("figure", hole, target)
    if "temperature" not in booking.slots:
        return Step("figure", "temperature", target)
    return Step("result", "", target)


def _hole_to_read(booking: Booking, twice: Twice) -> str | None:
    """The slot of the hole that has to be read (again): until the two that were read last are the same."""
    first, second = booking.slots["hole"], booking.slots.get("hole_again")
    if second is None:
        return "hole_again" if booking.target.is_chord and twice(booking) else None
    if whole(first.typed) == whole(second.typed):
        return None
    return "hole" if first.order < second.order else "hole_again"


def _further_repeat(route: Route, state: State, booking: Booking) -> str | None:
    """The slot of a fourth or fifth repeat, where those that stand do not agree and it was not declined."""
    serial = booking.extensometer or state.answer("extensometer") or ""
    instrument = route.extensometer(serial)
    if instrument is None or not judge_repeats(booking.dials, instrument.repeatability).wanted:
        return None
    for slot in DIALS[len(PLANNED_DIALS) :]:
        entry = booking.slots.get(slot)
        if entry is None:
            return slot
        if entry.declined:
            return None
    return None
