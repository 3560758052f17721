"""A route's logs as one: surveys, readings in order of reading time, segments, what is known before a survey.

log files ──► survey.surveys ──► readings ──► segments ──► Ground ──► Walk: the survey being booked
"""

from fieldtui.job.accepting import accept, doubt, tell
from fieldtui.job.conditions import before_start
from fieldtui.job.job import Job, load_job, logs_folder
from fieldtui.job.live import FrameAssessment, assess_chord, assess_frame, verdict_of
from fieldtui.job.readings import Reading, reduce_booking
from fieldtui.job.survey import PRACTICE, SURVEY, Survey, route_of, route_record
from fieldtui.job.telling import Told, local_time, over_levels, tell_chord, tell_frame
from fieldtui.job.walk import Walk, new_label, system_clock

__all__ = [
    "PRACTICE",
    "SURVEY",
    "FrameAssessment",
    "Job",
    "Reading",
    "Survey",
    "Told",
    "Walk",
    "accept",
    "assess_chord",
    "assess_frame",
    "before_start",
    "doubt",
    "load_job",
    "local_time",
    "logs_folder",
    "new_label",
    "over_levels",
    "reduce_booking",
    "route_of",
    "route_record",
    "system_clock",
    "tell",
    "tell_chord",
    "tell_frame",
    "verdict_of",
]
