"""The route beside the walk, in a wide window: every planned chord in walking order, what was read, what is to come."""

from __future__ import annotations

from fieldtui.job import Walk, assess_chord
from fieldtui.printable import printable
from fieldtui.reduction.rounding import show_change
from fieldtui.survey import Booking, Target
from fieldtui.tui.lines import Line, Lines, stack

WIDTH = 52
"""Cells of the column, its gap to the left among them."""
_PLACE, _FIGURE = 16, 16
_LEVELS = {"above": ("■ above", "alarm"), "cannot tell": ("▲ cannot tell", "notice")}
Row = tuple[Target, Line]
"""A planned chord, and what there is to say of it: nothing while it is to come."""


class RouteSoFar:
    """The rows of one walk. A row is made anew with each booking of its chord, or of the control frame."""

    def __init__(self, walk: Walk) -> None:
        self.walk = walk
        self._made: dict[Target, tuple[tuple[Booking, ...], Line]] = {}
        self._instrument: tuple[Booking, ...] = ()

    def rows(self) -> list[Row]:
        """All planned chords in walking order, each with its last reading, or why there is none."""
        state = self.walk.state
        instrument = tuple(booking for target, booking in state.bookings.items() if not target.is_chord)
        if instrument != self._instrument:
            self._made, self._instrument = {}, instrument
        found: list[Row] = []
        for station, chord in self.walk.route.walk():
            readings = state.readings((station.name, chord.name))
            planned = Target(station.name, chord.name)
            read = [booking for booking in readings if booking.was_read]
            last = (read or readings)[-1:]
            found.append((planned, self._row(last[0], tuple(readings)) if last else []))
        return found

    def _row(self, booking: Booking, readings: tuple[Booking, ...]) -> Line:
        """What there is to say of a booking: with another tape it is counted from earlier readings of this survey."""
        made = self._made.get(booking.target)
        if made is None or made[0] != readings:
            made = self._made[booking.target] = (readings, self._told(booking))
        return made[1]

    def _told(self, booking: Booking) -> Line:
        if not booking.finished:
            return [("  begun", "quiet")]
        if not booking.was_read:
            return [(f"  not read, {booking.outcome}", "")]
        assessment = assess_chord(self.walk, booking.target)
        if assessment is None or assessment.length is None:
            return [("  read, no length", "notice")]
        moved = assessment.since_last
        figure = show_change(moved.value, self.walk.route.units) if moved is not None else "read"
        words = [(" kept", "notice")] if booking.outcome == "kept" else []
        if assessment.level is not None and assessment.level.state in _LEVELS:
            word, role = _LEVELS[assessment.level.state]
            words.append((f" {word}", role))
        return [(figure.rjust(_FIGURE), "main"), *words]


def draw_route(so_far: RouteSoFar, at: Target | None, rows: int) -> Lines:
    """Exactly `rows` lines of `WIDTH` cells; the chord at hand in the middle where they do not all fit."""
    every = so_far.rows()
    here = next((place for place, (target, _) in enumerate(every) if at is not None and at.line == target.line), -1)
    room = rows - 1
    first = max(0, min(here - room // 2, len(every) - room))
    units = so_far.walk.route.units
    title: Line = [("  " + "route".ljust(_PLACE) + f"since last, {units.small}".rjust(_FIGURE), "label")]
    shown = [_line(*row, at_hand=place == here) for place, row in enumerate(every)]
    return stack([title, *shown[first : first + room]], WIDTH, rows)


def _line(target: Target, told: Line, *, at_hand: bool) -> Line:
    place = printable(f"{target.station} {target.chord}")[:_PLACE].ljust(_PLACE)
    role = "main" if at_hand else "" if told else "quiet"
    return [("> " if at_hand else "  ", "key"), (place, role), *told]
