"""One walk: the kinds of entry, the fold of records into state, and what comes next.

    record ──► fold.apply ──► State ──► step.next_step ──► Step ──► entry.check_… ──► the next record

`typed` reads figures as people type them, `target` names what a figure belongs to, `strike` strikes an entry out,
`clock` moves the times of reading, `call` says who was told of a level, `tended` what was done to the instrument.
`words` says what prompts are called, `actions` what can be done and by which keys, `times` reads times that a person
wrote, `chord_time` how long the chords took.
"""

from fieldtui.survey.call import CallTold
from fieldtui.survey.entered import Entry, Place
from fieldtui.survey.entry import check_answer, check_figure, check_reading, choices, clean_text, instruments, unit_of
from fieldtui.survey.fold import KINDS, apply, fold, read_time
from fieldtui.survey.state import EARLIER, Booking, Note, State, Struck
from fieldtui.survey.step import Step, missing, next_step, questions
from fieldtui.survey.target import (
    DIALS,
    FRAME,
    FRAME_KEY,
    HOLES,
    OUTCOMES,
    PLANNED_DIALS,
    ZERO,
    ZERO_KEY,
    Target,
    frame_target,
    zero_target,
)
from fieldtui.survey.typed import EntryRefused, number, time_of_day, whole

__all__ = [
    "DIALS",
    "EARLIER",
    "FRAME",
    "FRAME_KEY",
    "HOLES",
    "KINDS",
    "OUTCOMES",
    "PLANNED_DIALS",
    "ZERO",
    "ZERO_KEY",
    "Booking",
    "CallTold",
    "Entry",
    "EntryRefused",
    "Note",
    "Place",
    "State",
    "Step",
    "Struck",
    "Target",
    "apply",
    "check_answer",
    "check_figure",
    "check_reading",
    "choices",
    "clean_text",
    "fold",
    "frame_target",
    "instruments",
    "missing",
    "next_step",
    "number",
    "questions",
    "read_time",
    "time_of_day",
    "unit_of",
    "whole",
    "zero_target",
]
