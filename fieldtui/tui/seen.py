"""What a page shows of the job behind the survey, each thing worked out once: for a chord, a state, or a key.

A key is answered in a few milliseconds because of this; nothing here is kept that could not be made anew.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable
from datetime import datetime
from functools import cached_property, partial
from typing import Any, TypeVar

from fieldtui.job import (
    AtHand,
    Call,
    FiguresSoFar,
    Job,
    LiveCalls,
    Told,
    Walk,
    assess_figures,
    assess_frame,
    at_hand,
    figures_typed,
    tell,
    tell_chord,
    tell_frame,
)
from fieldtui.job.beforehand import before_first_entry, beforehand, in_order_of_walk
from fieldtui.job.in_common import in_common
from fieldtui.job.instrument import before_survey
from fieldtui.job.telling_proof import tell_instruments, tell_zero
from fieldtui.reduction import since_baseline
from fieldtui.reduction.chart import Chart
from fieldtui.reduction.shared import SharedShift
from fieldtui.route import line_of
from fieldtui.route.section import draw_section
from fieldtui.survey import State, Target, instruments
from fieldtui.tui.draw_route import RouteSoFar
from fieldtui.tui.lines import Lines, joined
from fieldtui.tui.progress import Work

MOST_POINTS = 40
Point = tuple[datetime, float]
Kept = TypeVar("Kept")


class Seen:
    """Views of one walk. Without its job, earlier surveys' calls are not known."""

    def __init__(self, walk: Walk, job: Job | None = None) -> None:
        self.walk = walk
        self.job = job
        self.calls = LiveCalls(job, walk) if job is not None else None
        self.so_far = RouteSoFar(walk)
        self._work: Work | None = None
        self._given_out = False
        self._past: dict[tuple[str, str], list[Point]] = {}
        self._sections: dict[tuple[tuple[str, str], int, int], Lines] = {}
        self._kept: dict[str, tuple[State, Hashable, Any]] = {}

    @property
    def missing(self) -> tuple[Target, ...]:
        """Planned chords not yet dealt with."""
        return self.kept("missing", None, lambda: self.walk.missing)

    @property
    def read(self) -> tuple[tuple[str, str], ...]:
        """Planned chords with a reading, from whichever end."""
        return self.kept("read", None, self._read)

    def _read(self) -> tuple[tuple[str, str], ...]:
        bookings = self.walk.state.bookings.items()
        lines = {target.line for target, booking in bookings if target.is_chord and booking.was_read}
        planned = ((station.name, chord.name) for station, chord in self.walk.route.walk())
        return tuple(key for key in planned if line_of(key) in lines)

    @property
    def left_out(self) -> tuple[tuple[Target, str], ...]:
        """Planned chords that were booked as not read, and why."""
        read = set(self.read)
        return tuple(
            (target, booking.outcome)
            for target, booking in sorted(self.walk.state.bookings.items())
            if target.is_chord and booking.finished and not booking.was_read and target.key not in read
        )

    def work(self) -> Callable[[], None] | None:
        """What the prompts to come ask of earlier surveys, given out once; of few surveys what reads their file."""
        if self.job is None or self.calls is None or self._given_out:
            return None
        self._given_out = True
        if not self.job.has_years_behind:
            return partial(before_first_entry, self.walk)
        self.calls.behind = True
        self._work = Work(beforehand(self.walk, self.calls), len(in_order_of_walk(self.walk, self.calls)))
        return self._work

    @property
    def still_ahead(self) -> tuple[bool, int]:
        """Whether earlier surveys are looked at behind the page, and the chords that this has still ahead of it."""
        return (self.calls.behind, len(self.calls.left)) if self.calls is not None else (False, 0)

    @property
    def looked_at(self) -> str:
        """How far earlier surveys have been looked at, by chords; empty where they all have."""
        behind, left = self.still_ahead
        if self.calls is None or not behind or not left:
            return ""
        of = len(self.calls.account.stories.under)
        return f"earlier surveys: {of - left} of {of}"

    @property
    def open_calls(self) -> tuple[Call, ...]:
        """Calls of this and earlier surveys of which somebody has still to be told."""
        if self.calls is None:
            return ()
        return self.kept("open calls", self.still_ahead, self.calls.open)

    def section(self, target: Target, width: int, rows: int) -> Lines:
        """The drawing of the station's section with the chord to be read."""
        wanted = (target.key, width, rows)
        if wanted not in self._sections:
            drawn = draw_section(*self.walk.place(target), width, rows)
            self._sections[wanted] = [joined(line) for line in drawn]
        return self._sections[wanted]

    def told(self, target: Target, slot: str, typed: str) -> tuple[Told, ...]:
        """What a booking means, with what is being typed, in words; also of the control frame and the dial zero."""
        if not typed.strip():  # whatever slot is asked for, or none below a list: nothing is typed there
            return self.kept("told of what is booked", target, partial(tell, self.walk, target))
        typing = (target, slot, typed)
        if not target.is_chord:
            return self.kept("told of frame or zero", typing, partial(self._tell_typed, *typing))
        # a point, or a nought behind it, makes no other figure
        figures = self.kept("figures", typing, partial(self._figures, *typing))
        return self.kept("told of figures", (target, figures), partial(self._tell_figures, target, figures))

    def _tell_typed(self, target: Target, slot: str, typed: str) -> tuple[Told, ...]:
        if target.is_zero:
            return tuple(tell_zero(self.walk, target, typed))
        return tell_frame(self.walk.route, assess_frame(self.walk, target, slot, typed))

    def _figures(self, target: Target, slot: str, typed: str) -> FiguresSoFar | None:
        at = self._at_hand(target)
        return figures_typed(self.walk, at, slot, typed) if at is not None else None

    def _tell_figures(self, target: Target, figures: FiguresSoFar | None) -> tuple[Told, ...]:
        at = self._at_hand(target)
        if at is None or figures is None:
            return ()
        assessment = assess_figures(self.walk, at, figures, typing=True)
        return tell_chord(self.walk.route, at.chord, assessment, typing=True)

    def _at_hand(self, target: Target) -> AtHand | None:
        return self.kept("at hand", target, partial(at_hand, self.walk, target))

    @property
    def instruments(self) -> tuple[Told, ...]:
        """With which instruments the lengths of this survey are in doubt or marked."""
        return self.kept("instruments", None, lambda: tuple(tell_instruments(self.walk)))

    @property
    def before(self) -> tuple[str, ...]:
        """What has to be said of the instruments before the survey, as soon as the frame has been looked at."""
        looked = self._work is None or self._work.done > 0
        return self._before if looked else ()

    @cached_property
    def _before(self) -> tuple[str, ...]:
        return before_survey(self.job, self.walk.clock()) if self.job is not None else ()

    def instrument(self, target: Target) -> tuple[str, str]:
        """Serials of the tape and extensometer of a booking."""
        tape, extensometer = instruments(self.walk.route, self.walk.state, target)
        return (tape.serial if tape is not None else "", extensometer.serial if extensometer is not None else "")

    def chart(self, target: Target) -> Chart:
        """The control frame's chart in the surveys before, with the instrument of a booking."""
        return self.walk.held(self.instrument(target)).chart or Chart()

    def kept(self, part: str, wanted: Hashable, make: Callable[[], Kept]) -> Kept:
        """What stays as it is while a figure is typed, a part of the page too: made once for a state and `wanted`."""
        made = self._kept.get(part)
        if made is None or made[0] is not self.walk.state or made[1] != wanted:
            made = self._kept[part] = (self.walk.state, wanted, make())
        kept: Kept = made[2]
        return kept

    def frame_now(self, target: Target) -> float | None:
        """The frame's length by what is booked so far, small units, as soon as it has one."""
        length = assess_frame(self.walk, target).length
        return float(length.value) if length is not None else None

    @property
    def shared(self) -> SharedShift | None:
        """What the lengths of this survey have in common, if anything."""
        return self.kept("shared", None, partial(in_common, self.walk))

    def past(self, target: Target) -> list[Point]:
        """A chord's last movements that are not doubtful, by time; of earlier surveys, so the same all along."""
        if target.key not in self._past:
            self._past[target.key] = self._points(target)
        return self._past[target.key]

    def now(self, target: Target) -> Point | None:
        """The movement by what is booked so far, if that gives a length and there is a baseline to count from."""
        at = self._at_hand(target)
        moved = assess_figures(self.walk, at, figures_typed(self.walk, at)).since_baseline if at is not None else None
        return (at.read_at, float(moved.value)) if at is not None and moved is not None else None

    def _points(self, target: Target) -> list[Point]:
        points: list[Point] = []
        for segment in self.walk.ground.chord(target.key).segments:
            baseline = [past.length for past in segment.baseline]
            if baseline:
                points += [
                    (past.time, float(segment.offset + since_baseline(past.length, baseline).value))
                    for past in segment.readings[-MOST_POINTS:]
                    if not past.doubtful
                ]
        return sorted(points)[-MOST_POINTS:]
