"""A walk under way: the one door through which the screen, the line-by-line walk and the demo book a survey.

    what was typed ──► checked ──► appended and synced ──► folded ──► next step

Nothing is in the state that is not in the log: `commit` folds the record that the writer gave back, and the writer
gives it back only once it is on the disk.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import UTC, datetime
from functools import partial
from pathlib import Path
from threading import Lock
from types import MappingProxyType
from typing import Any

from fieldtui.job.amended import amended_state, own_amendments
from fieldtui.job.calls import Call, telling_data
from fieldtui.job.closing import closing_data
from fieldtui.job.conditions import Watch
from fieldtui.job.job import Job
from fieldtui.job.lengths_so_far import chord_lengths, held_against, shift_so_far
from fieldtui.job.proof import Held, Instrument
from fieldtui.job.striking import strike_data
from fieldtui.job.survey import PRACTICE, SURVEY, Survey
from fieldtui.job.verdicts import Verdicts
from fieldtui.job.walk_log import Clock as Clock
from fieldtui.job.walk_log import after_damage, new_log, reopened, system_clock
from fieldtui.log import LogWriter, Record, WriteFailed
from fieldtui.reduction import FrameShift, Ground
from fieldtui.route import Chord, Route, Station
from fieldtui.survey import (
    Booking,
    EntryRefused,
    Place,
    State,
    Step,
    Target,
    apply,
    check_answer,
    check_figure,
    clean_text,
    fold,
    missing,
    next_step,
    read_time,
    unit_of,
)


class Walk:
    """One survey being booked. `state` changes only by records that are on the disk."""

    def __init__(
        self,
        route: Route,
        ground: Ground,
        writer: LogWriter,
        state: State,
        clock: Clock,
        before: Mapping[str, str] = MappingProxyType({}),
        job: Job | None = None,
    ) -> None:
        self.logged_route = route
        self.job = job
        self.begun = begun = read_time(writer.records[0].at)
        # as journals have set it right since its file, or its log, was written
        self.route = route if job is None else job.corrections.route(route, begun)
        self.before = before
        self.ground = ground
        self.writer = writer
        self.state = state
        self.clock = clock
        self.saved_at: datetime | None = None
        self.watch = Watch(writer.path.parent, clock())
        self.conditions: tuple[str, ...] = self.watch.told(clock())
        self.unsaved: tuple[tuple[str, Mapping[str, Any]], ...] = ()
        """What was to be booked when a write failed: booked in the new log as soon as there is one."""
        self._stood: tuple[State, Step] | None = None
        self._verdicts = Verdicts(self.route, ground, before, begun)
        self._followed: State | None = None
        self._one_follows = Lock()

    @classmethod
    def begin(cls, job: Job, *, clock: Clock = system_clock, scope: str = SURVEY, label: str | None = None) -> Walk:
        """A new survey in a new log. Errors: those of `LogWriter.create`."""
        writer = new_log(job, clock, scope, label)
        state = fold(writer.records, writer.id)
        return cls(job.route, job.ground(), writer, state, clock, job.last_answers(), job=job)

    @classmethod
    def resume(cls, job: Job, survey: Survey, *, clock: Clock = system_clock) -> Walk:
        """Take up an unclosed survey where it stopped: in its last log, or after a damaged one in a new log.

        Errors: those of `LogWriter.reopen` and `create`.
        """
        last = survey.logs[-1]
        earlier = survey.logs if last.problems else survey.logs[:-1]
        writer = after_damage(job, last, clock) if last.problems else reopened(last, clock)
        parts = [*((log.id, log.records) for log in earlier), (writer.id, writer.records)]
        state = amended_state(parts, own_amendments({log.id for log in survey.logs}, job.settled))
        ground = job.ground(without=survey.id)
        return cls(survey.route, ground, writer, state, clock, job.last_answers(survey.id), job=job)

    @property
    def step(self) -> Step:
        """The prompt that the surveyor stands before: asked many times for one key, found once for each state."""
        if self._stood is None or self._stood[0] is not self.state:
            self._stood = (self.state, next_step(self.route, self.state, self._hole_twice))
        return self._stood[1]

    @property
    def survey(self) -> str:
        """The survey's id."""
        return str(self._head["survey"])

    @property
    def label(self) -> str:
        """The survey's label."""
        return str(self._head["label"])

    @property
    def practice(self) -> bool:
        """Kept out of the job: for learning, not for knowing."""
        return bool(self._head["scope"] == PRACTICE)

    @property
    def _head(self) -> Mapping[str, Any]:
        return self.writer.records[0].data

    @property
    def missing(self) -> tuple[Target, ...]:
        """Planned chords not yet dealt with."""
        return missing(self.route, self.state)

    def place(self, target: Target) -> tuple[Station, Chord]:
        """The station and chord of a target. `KeyError` if the route has no such chord."""
        station = self.route.station(target.station)
        chord = station.chord(target.chord) if station is not None else None
        if station is None or chord is None:
            raise KeyError(target)
        return station, chord

    @property
    def verdicts(self) -> Verdicts:
        """Verdicts over this survey's bookings, as they stand now."""
        with self._one_follows:  # the work behind the page asks as well, while something is booked
            if self._followed is not (state := self.state):
                self._verdicts.follow(state, chord_lengths(self.route, state, self.survey, self.ground))
                self._followed = state
        return self._verdicts

    def _hole_twice(self, booking: Booking) -> bool:
        return self._verdicts.hole_twice(self.state, booking)

    def frame_shift(self, tape: str, extensometer: str) -> FrameShift | None:
        """The frame's shift so far in this survey with one instrument, where the route takes it off."""
        return shift_so_far(self.route, self.state, self.survey, self.ground, (tape, extensometer))

    def held(self, instrument: Instrument) -> Held:
        """What the frame is held against: the first survey that read it, and the chart of all before this one."""
        return held_against(self.ground, instrument)

    # -- booking -----------------------------------------------------------------------------------------------------

    def commit(self, kind: str, data: Mapping[str, Any]) -> Record:
        """Append one record, and fold it once it is on the disk. `WriteFailed` leaves the state as it was."""
        return self.commit_all([(kind, data)])[-1]

    def commit_all(self, entries: Sequence[tuple[str, Mapping[str, Any]]]) -> list[Record]:
        """Append several records at one go, and fold them once all are on the disk."""
        try:
            records = [self.writer.append(*entries[0])] if len(entries) == 1 else self.writer.append_all(entries)
        except WriteFailed:
            self.unsaved = tuple(entries)
            raise
        self.unsaved = ()
        for record in records:
            self.state = apply(self.state, record, self.writer.id)
        self.saved_at = self.clock()
        self.conditions = self.watch.told(self.saved_at)
        return records

    def book(self, typed: str) -> None:
        """Book what was typed at the present prompt. `EntryRefused` says why it cannot be; nothing is booked then."""
        step = self.step
        if step.kind == "say":
            self.say(step.what, typed)
        elif step.kind == "arrive":
            self.commit("arrived", {"station": step.what})
        elif step.kind == "figure" and step.target is not None:
            self.figure(step.target, step.what, typed, optional=step.optional)
        elif step.kind == "result":
            self.accept()
        else:
            raise EntryRefused("The survey has no further prompt.", todo="Close it, or choose a chord.")

    def say(self, what: str, typed: str) -> None:
        """Answer a question about the whole survey, or answer it anew."""
        optional = what == "recorder" or what == "stage" or what.startswith("face ")
        answer = check_answer(self.route, Step("say", what, optional=optional), typed)
        also = {"also_before": True} if self.step.lost_before and self.step.what == what else {}
        self.commit("said", {"what": what, "typed": answer, **also})

    def figure(self, target: Target, slot: str, typed: str, *, optional: bool = False) -> bool:
        """Book a figure in a slot; one that stood there before is struck out and kept.

        False, and nothing is booked, where it is what stands there and is not asked for.
        """
        check_figure(self.route, self.state, target, slot, typed, optional=optional)
        booking, step = self.state.bookings.get(target), self.step
        stands = booking.slots.get(slot) if booking is not None else None
        asked = step.kind == "figure" and (step.target, step.what) == (target, slot)
        if stands is not None and stands.typed == typed.strip() and not asked:
            return False
        written = {"slot": slot, "typed": typed.strip(), "unit": unit_of(self.route, slot), "read_at": self._now()}
        self.commit("figure", {**target.data(), **written})
        return True

    def accept(
        self,
        *,
        outcome: str = "read",
        reason: str = "",
        shown: Mapping[str, Any] | None = None,
        again: bool = False,
    ) -> None:
        """Accept the booking at hand, with what the surveyor was shown of it as evidence.

        `kept` is a reading that does not agree and stays as it was booked, for a reason. `again` turns to a second
        reading of the same at one go.
        """
        step = self.step
        if step.kind != "result" or step.target is None:
            raise EntryRefused("There is nothing to accept yet.", todo="Book the figures first.")
        data = {**step.target.data(), "as": outcome, "reason": reason, "shown": dict(shown or {})}
        self.commit_all([("accepted", data), *([("go", step.target.again().data())] if again else [])])

    def unread(self, target: Target, outcome: str, note: str = "") -> None:
        """Book a chord, the frame or the zero as not read."""
        self.commit("unread", {**target.data(), "outcome": outcome, "note": clean_text(note), "read_at": self._now()})

    def go(self, target: Target) -> None:
        """Turn to another chord, or to another reading of one."""
        self.commit("go", target.data())

    def go_to_end(self) -> None:
        """Turn to the end of the survey; what is missing can still be read from there."""
        self.commit("go", {"end": True})

    def note(self, text: str, target: Target | None = None) -> None:
        """Book a remark, at a chord if there is one."""
        cleaned = clean_text(text)
        if not cleaned:
            raise EntryRefused("The note is empty.", todo="Type it and press Enter.")
        place = {"station": target.station, "chord": target.chord} if target is not None and target.is_chord else {}
        self.commit("note", {"text": cleaned, **place})

    def strike(self, place: Place, reason: str, by: str, typed: str | None = None) -> None:
        """Strike out an entry of this survey, or set it right; both stay to be seen. See `striking.strikable`."""
        amended = self.job.journals.amendments if self.job is not None else ()
        if any(one.written.place == place for one in amended):
            raise EntryRefused("A journal has set this right.", todo="Strike it there, or book the figure anew.")
        self.commit("struck", strike_data(self.route, self.state, place, reason, by, typed))

    def call(self, call: Call, role: str, person: str, means: str, answer: str = "", told_at: str = "") -> None:
        """Book that somebody was told of a call: for which role, who, by what means, and what they answered."""
        told = telling_data(call, role, person, means, answer, told_at or self._now())
        self.commit("call", {**told, "by": self.state.answer("recorder") or self.state.answer("reader") or ""})

    def close(self) -> Record:
        """Close the survey: nothing is written to its log again. Gives the last record, whose hash is the log's."""
        so_far = partial(shift_so_far, self.logged_route, self.state, self.survey, self.ground)
        data = closing_data(self.logged_route, self.state, self.survey, lambda *instrument: so_far(instrument))
        record = self.commit("closed", data)
        self.writer.close()
        return record

    def leave(self) -> None:
        """Stop without closing; the survey waits to be resumed."""
        self.writer.close()

    def continue_in(self, folder: Path) -> None:
        """After a failed write: go on in a new log, in this folder or another, and book there what was not saved.

        `EntryRefused` where there is no such folder; `WriteFailed` where this one does not take it either.
        """
        if not folder.is_dir():
            raise EntryRefused(f"There is no folder {folder}.", todo="Name one that is there.")
        self.writer = self.writer.continue_in(folder)
        self.watch.folder = folder  # the disk to be looked at is now this one
        if self.unsaved:
            self.commit_all(self.unsaved)
        if self.state.closed:
            self.writer.close()

    def _now(self) -> str:
        return self.clock().astimezone(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")
