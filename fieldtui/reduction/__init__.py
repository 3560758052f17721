"""One reading to a length, and what the length means. Pure: no file, no clock, no screen.

exact, rounding    decimal arithmetic; how figures are shown
sources            errors with identity: equal keys are one and the same error
repeats            do the repeats agree, and what is their value
length             figures ──► Length: value, corrections, budget
combine            change, since_baseline, rate: sums of lengths with their correlations
frame              the control frame: length, shift, verdict
levels             below, cannot tell, above
ground             what is known before a survey
assess             what one booking means, complete or not
"""

from __future__ import annotations

from fieldtui.reduction.assess import Assessment, Draft, Word, assess, carried, movement_word
from fieldtui.reduction.combine import Measured, Quantity, Rate, change, combine, hours, rate, since_baseline
from fieldtui.reduction.frame import FrameShift, FrameVerdict, frame_shift, frame_verdict, reduce_frame
from fieldtui.reduction.ground import ChordGround, Ground, Past, Segment
from fieldtui.reduction.length import Figures, Length, reduce
from fieldtui.reduction.levels import LevelState, Overall, State, judge_levels, overall, to_tell
from fieldtui.reduction.repeats import MOST_REPEATS, Repeats, judge_repeats
from fieldtui.reduction.rounding import rounded, show_change, show_length, show_u
from fieldtui.reduction.sources import Source, covariance

REDUCTION = 1
"""Raised when any figure of a length can come out otherwise than before. Written into every closed log."""

__all__ = [
    "MOST_REPEATS",
    "REDUCTION",
    "Assessment",
    "ChordGround",
    "Draft",
    "Figures",
    "FrameShift",
    "FrameVerdict",
    "Ground",
    "Length",
    "LevelState",
    "Measured",
    "Overall",
    "Past",
    "Quantity",
    "Rate",
    "Repeats",
    "Segment",
    "Source",
    "State",
    "Word",
    "assess",
    "carried",
    "change",
    "combine",
    "covariance",
    "frame_shift",
    "frame_verdict",
    "hours",
    "judge_levels",
    "judge_repeats",
    "movement_word",
    "overall",
    "rate",
    "reduce",
    "reduce_frame",
    "rounded",
    "show_change",
    "show_length",
    "show_u",
    "since_baseline",
    "to_tell",
]
