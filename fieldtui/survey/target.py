"""What a figure belongs to: one reading of one chord, of the control frame, or of the dial's zero."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal, NamedTuple

from fieldtui.route import line_of

Part = Literal["", "start", "between", "end"]

FRAME = "frame"
ZERO = "zero"
FRAME_KEY = ("", FRAME)
"""What the control frame is booked under, as a chord is under its station and name; likewise:"""
ZERO_KEY = ("", ZERO)
HOLES = ("hole", "hole_again")
DIALS = ("dial_1", "dial_2", "dial_3", "dial_4", "dial_5")
PLANNED_DIALS = DIALS[:3]
OUTCOMES = {
    "blocked": "the line is blocked",
    "lost": "an anchor is lost or destroyed",
    "buried": "an anchor is covered by lining or muck",
    "unsafe": "it is unsafe to stand there",
    "other": "another reason, in a note",
}
"""Why a chord was not read, in the order of the list on the screen."""


class Target(NamedTuple):
    """One booking: the `reading`-th of a chord at a station, or of the frame or zero in a part of the survey."""

    # it is part of the identity of every error of a reading, and hashed as often: a tuple does that quickly

    station: str
    chord: str
    reading: int = 1
    part: Part = ""

    @property
    def is_chord(self) -> bool:
        return self.part == ""

    @property
    def is_frame(self) -> bool:
        return self.part != "" and self.chord == FRAME

    @property
    def is_zero(self) -> bool:
        return self.part != "" and self.chord == ZERO

    @property
    def key(self) -> tuple[str, str]:
        """(station, chord): what two bookings of one chord have in common."""
        return (self.station, self.chord)

    @property
    def line(self) -> tuple[str, str]:
        """As `key`, and the same for a chord read from its other end."""
        return line_of(self.key)

    def again(self) -> Target:
        """The next reading of the same thing."""
        return Target(self.station, self.chord, self.reading + 1, self.part)

    def data(self) -> dict[str, Any]:
        """The form in which records name it."""
        if self.part:
            return {"chord": self.chord, "part": self.part, "reading": self.reading}
        return {"station": self.station, "chord": self.chord, "reading": self.reading}

    @classmethod
    def of(cls, data: Mapping[str, Any]) -> Target:
        """The target that a record names. `KeyError` if the record names none."""
        return cls(data.get("station", ""), data["chord"], data["reading"], data.get("part", ""))


def frame_target(part: Part, reading: int = 1) -> Target:
    return Target("", FRAME, reading, part)


def zero_target(part: Part, reading: int = 1) -> Target:
    return Target("", ZERO, reading, part)
