"""A survey as a list of records, written line by line without a file."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from typing import Any

from fieldtui.survey import State, Target, fold, frame_target, zero_target

START = datetime(2031, 5, 4, 2, 0, tzinfo=UTC)


@dataclass(frozen=True)
class Line:
    seq: int
    at: str
    kind: str
    data: Mapping[str, Any]


@dataclass
class Pages:
    """Records in order, each a minute after the one before."""

    log: str = "one"
    lines: list[Line] = field(default_factory=list)

    def add(self, kind: str, **data: Any) -> int:
        """Write a record and give its number."""
        at = START + timedelta(minutes=len(self.lines))
        self.lines.append(Line(len(self.lines) + 2, at.isoformat().replace("+00:00", "Z"), kind, data))
        return self.lines[-1].seq

    def say(self, what: str, typed: str) -> int:
        return self.add("said", what=what, typed=typed)

    def figure(self, target: Target, slot: str, typed: str, unit: str = "mm") -> int:
        return self.add("figure", **target.data(), slot=slot, typed=typed, unit=unit)

    def start(self, *, control: bool = False) -> Pages:
        """Everything up to the first station."""
        said = (("reader", "AB"), ("recorder", ""), ("tape", "T1"), ("extensometer", "X1"), ("stage", ""))
        for what, typed in (*said, ("cautions", "seen")):
            self.say(what, typed)
        self.figure(zero_target("start"), "zero", "0.00")
        if control:
            self.chord(frame_target("start"), "199", "18.40")
        return self

    def chord(self, target: Target, hole: str = "319", dial: str = "20.00", temperature: str = "12.0") -> int:
        """A whole reading, accepted; the number of the accepting record."""
        if target.is_chord:
            self.add("arrived", station=target.station)
        for slot, typed in (("hole", hole), ("dial_1", dial), ("dial_2", dial), ("dial_3", dial)):
            self.figure(target, slot, typed)
        self.figure(target, "temperature", temperature, "degC")
        return self.add("accepted", **target.data(), **{"as": "read", "reason": "", "shown": {}})

    @property
    def state(self) -> State:
        return fold(self.lines, self.log)
