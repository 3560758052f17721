"""Closed lengths reduced anew from the raw figures: what the log says must come out again.

A survey's `closed` record names the reduction it was made with. The same reduction and another figure is a fault;
another reduction is information. Where the control frame is taken off, its reference stands in earlier surveys: they
have to be among the logs that are looked at.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from pathlib import Path
from typing import Any, Literal

from msgspec import Struct

from fieldtui.job.amend import Settled, settle
from fieldtui.job.closing import closing_data
from fieldtui.job.journal import read_journals
from fieldtui.job.proof import Instrument
from fieldtui.job.readings import frame_lengths, shift
from fieldtui.job.survey import PRACTICE, SURVEY, Survey, surveys_and_left_out
from fieldtui.log import OS, LogFile, LogRefused, together
from fieldtui.log.folder import read_path
from fieldtui.log.record import CLOSED
from fieldtui.reduction import REDUCTION, FrameShift, Length
from fieldtui.survey import Target, read_time

Outcome = Literal["the same", "another figure", "another reduction"]


class Compared(Struct, frozen=True):
    """One closed length and what comes out now; small units of the survey's route."""

    log: Path
    survey: str
    target: Target
    booked: str | None
    now: str | None
    outcome: Outcome
    held: bool = True
    """Whether the survey's closing record says anything of it."""

    def as_data(self) -> dict[str, Any]:
        """For JSON."""
        return {
            "log": str(self.log),
            "survey": self.survey,
            **self.target.data(),
            "booked": self.booked,
            "now": self.now,
            "outcome": self.outcome,
            "held": self.held,
        }


class Figures(Struct, frozen=True):
    """What was compared, and the surveys that cannot be: nothing is passed over."""

    compared: tuple[Compared, ...] = ()
    not_checkable: tuple[str, ...] = ()

    @property
    def wrong(self) -> bool:
        return any(one.outcome == "another figure" for one in self.compared) or bool(self.not_checkable)

    def as_data(self) -> dict[str, Any]:
        """For JSON."""
        return {
            "compared": len(self.compared),
            "differing": [one.as_data() for one in self.compared if one.outcome != "the same"],
            "not_checkable": list(self.not_checkable),
        }


def compare_figures(paths: Sequence[Path]) -> Figures:
    """Every closed length of these logs beside what its raw figures give now, survey after survey.

    A survey whose route is refused by the rules of now cannot be reduced: it is told. A file that cannot be read is
    left to `verify`.
    """
    logs = [log for path in paths if (log := _read(path)) is not None and log.records]
    folder = together(logs)  # a copy counts once, as in a job
    forked = [log for fork in folder.forks for log in fork.logs]
    found, left = surveys_and_left_out(folder.logs, _by_their_closing(folder.logs))
    told = [f"{survey.logs[0].path.name}: its figures are not checkable. {survey}" for survey in left]
    told += [
        f"{log.path.name}: its figures are not checkable. The record that holds its route is lost."
        for log in folder.logs
        if _lost_its_route(log)
    ]
    told += [
        f"{log.path.name}: its figures are not checkable. The record that says which survey it is is damaged."
        for log in folder.empty
        if log.beheaded
    ]
    told += [f"{log.path.name}: its figures are not checkable. It is forked." for log in forked]
    return Figures(tuple(_compared(found)), tuple(told))


def _by_their_closing(logs: Sequence[LogFile]) -> Settled:
    """What journals had amended before a survey was closed: its closing record holds that, and nothing later."""
    closed = {log.survey: read_time(log.last.at) for log in logs if log.last is not None and log.last.kind == CLOSED}
    at = {log.id: closed[log.survey] for log in logs if log.survey in closed}
    found = read_journals(logs).amendments
    return settle(one for one in found if one.place[0] in at and one.written.at < at[one.place[0]])


def _read(path: Path) -> LogFile | None:
    try:
        return read_path(path, OS)
    except LogRefused:
        return None


def _lost_its_route(log: LogFile) -> bool:
    return log.head.get("scope") in (SURVEY, PRACTICE) and not any(one.kind == "route" for one in log.records[:2])


def _compared(found: Sequence[Survey]) -> Iterator[Compared]:
    references: dict[Instrument, Sequence[Length]] = {}
    for survey in found:
        frames = frame_lengths(survey.route, survey.state, survey.id)
        closed = survey.logs[-1].records[-1]
        if closed.kind == "closed":
            yield from _survey(survey, closed.data, frames, references)
        for instrument, parts in frames.items():
            references.setdefault(instrument, tuple(parts.values()))


def _survey(
    survey: Survey,
    closed: Mapping[str, Any],
    frames: Mapping[Instrument, dict[str, Length]],
    references: Mapping[Instrument, Sequence[Length]],
) -> Iterator[Compared]:
    def taken_off(tape: str, extensometer: str) -> FrameShift | None:
        instrument = (tape, extensometer)
        return shift(survey.route, frames.get(instrument, {}), references.get(instrument, ()))

    now = closing_data(survey.route, survey.state, survey.id, taken_off)
    lengths = {Target.of(one): one["length"] for one in now["bookings"]}
    held = {Target.of(booked): booked["length"] for booked in closed.get("bookings", ())}
    # what the closing record does not hold is compared as well: a length nobody closed with is no length proven
    for target in (*held, *(one for one in lengths if one not in held)):
        was, is_ = held.get(target), lengths.get(target)
        if was is None and is_ is None:
            continue
        outcome: Outcome = "the same"
        if was is None or is_ is None or Decimal(was) != Decimal(is_):
            outcome = "another figure" if closed.get("reduction") == REDUCTION else "another reduction"
        yield Compared(survey.logs[-1].path, survey.label, target, was, is_, outcome, target in held)
