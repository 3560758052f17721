"""Closed lengths reduced anew from the raw figures: what the log says must come out again.

A survey's `closed` record names the reduction it was made with. The same reduction and another figure is a fault;
another reduction is information. Where the control frame is taken off, its reference stands in earlier surveys: they
have to be among the logs that are looked at.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path
from typing import Any, Literal

from fieldtui.job.closing import closing_data
from fieldtui.job.readings import Instrument, frame_lengths, shift
from fieldtui.job.survey import Survey, surveys
from fieldtui.log import LogFile, read_log
from fieldtui.reduction import REDUCTION, FrameShift, Length
from fieldtui.survey import Target

Outcome = Literal["the same", "another figure", "another reduction"]


@dataclass(frozen=True, slots=True)
class Compared:
    """One closed length and what comes out now; small units of the survey's route."""

    log: Path
    survey: str
    target: Target
    booked: str | None
    now: str | None
    outcome: Outcome

    def as_data(self) -> dict[str, Any]:
        """For JSON."""
        return {
            "log": str(self.log),
            "survey": self.survey,
            **self.target.data(),
            "booked": self.booked,
            "now": self.now,
            "outcome": self.outcome,
        }


def compare_figures(paths: Sequence[Path]) -> tuple[Compared, ...]:
    """Every closed length of these logs beside what its raw figures give now, survey after survey."""
    logs = [read_log(path) for path in paths]
    return tuple(_compared([log for log in logs if log.records]))


def _compared(logs: Sequence[LogFile]) -> Iterator[Compared]:
    references: dict[Instrument, Sequence[Length]] = {}
    for survey in surveys(logs):
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
    for booked in closed.get("bookings", ()):
        target = Target.of(booked)
        was, is_ = booked["length"], lengths.get(target)
        if was is None and is_ is None:
            continue
        outcome: Outcome = "the same"
        if was is None or is_ is None or Decimal(was) != Decimal(is_):
            outcome = "another figure" if closed.get("reduction") == REDUCTION else "another reduction"
        yield Compared(survey.logs[-1].path, survey.label, target, was, is_, outcome)
