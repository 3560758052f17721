"""One reading to a length, and what the length means. Pure: no file, no clock, no screen.

exact, rounding    decimal arithmetic; how figures are shown
sources            errors with identity: equal keys are one and the same error
repeats            do the repeats agree, and what is their value
length             figures ──► Length: value, corrections, budget
combine            change, since_baseline, rate: sums of lengths with their correlations
frame              the control frame: length, shift, verdict
chart, frame_proof its readings in order: individuals and weighted mean, limits frozen; what a reading proves
pooled             repeatability as it really was
levels             below, cannot tell, above
ground             what is known before a survey
assess             what one booking means, complete or not

laws, motion       laws of movement, weighed by a chord's readings so far (following); mixture: what comes of it
known, pace        every chord followed once; how fast the route's chords were when they were new
evidence           what this survey says beside the chord: others read, temperatures, events, earlier bookings
expectation        what the next length should be; leaning: as the chord's neighbours went today; rough: the ground
                   may be rougher than it has shown
beside             the survey's other chords, if nothing ails them; shared: what all lengths of a survey have in common
priors             the odds of everything that goes wrong, in one table
misreading         every explanation of a booking weighed: judge ──► Verdict
                   (question, fit; undoing, moved, elsewhere, earlier: the explanations; weighing)
"""

from __future__ import annotations

from fieldtui.reduction.assess import Assessment, Draft, Word, assess, carried, movement_word
from fieldtui.reduction.combine import Measured, Quantity, Rate, change, combine, hours, rate, since_baseline
from fieldtui.reduction.evidence import Evidence, Other
from fieldtui.reduction.expectation import Expectation, expect
from fieldtui.reduction.frame import FrameShift, FrameVerdict, frame_shift, frame_verdict, reduce_frame
from fieldtui.reduction.ground import ChordGround, Event, Ground, Past, Segment
from fieldtui.reduction.known import Known
from fieldtui.reduction.length import Figures, Length, reduce
from fieldtui.reduction.levels import LevelState, Overall, Standing, judge_levels, overall, to_tell
from fieldtui.reduction.misreading import Verdict, judge
from fieldtui.reduction.priors import PRIORS, Cause, Priors
from fieldtui.reduction.repeats import MOST_REPEATS, Repeats, judge_repeats
from fieldtui.reduction.rounding import rounded, show_change, show_length, show_u
from fieldtui.reduction.sources import Source, covariance
from fieldtui.reduction.weighing import Explanation

REDUCTION = 1
"""Raised when any figure of a length can come out otherwise than before. Written into every closed log."""

__all__ = [
    "MOST_REPEATS",
    "PRIORS",
    "REDUCTION",
    "Assessment",
    "Cause",
    "ChordGround",
    "Draft",
    "Event",
    "Evidence",
    "Expectation",
    "Explanation",
    "Figures",
    "FrameShift",
    "FrameVerdict",
    "Ground",
    "Known",
    "Length",
    "LevelState",
    "Measured",
    "Other",
    "Overall",
    "Past",
    "Priors",
    "Quantity",
    "Rate",
    "Repeats",
    "Segment",
    "Source",
    "Standing",
    "Verdict",
    "Word",
    "assess",
    "carried",
    "change",
    "combine",
    "covariance",
    "expect",
    "frame_shift",
    "frame_verdict",
    "hours",
    "judge",
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
