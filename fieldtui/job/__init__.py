"""A route's logs as one: surveys, readings in order of reading time, segments, what is known before a survey.

logs and journals ──► surveys as amended ──► readings ──► segments ──► Ground ──► Walk: the survey being booked
                                                              └──► history, calls, questions, warnings

survey, amend, amended, forks, journal (declared, shapes, route_values)   what the files say
kept, kept_codec, used                                           what the folder's index keeps of a survey
checked_routes                                                   routes of the folder that need no second check
corrections, names, called_now, rules, happened                  what was declared, as it is asked for
readings, earlier, twice, doubt                                  bookings to lengths, and which count
proof, care, framed, elsewhere, instrument                       what the instrument is worth, here and on other routes
stories, grounds, segments, carried, offsets, pace, epochs, account   one chord through the year, and what is known
history, booked, marked, calls, questions, differences, state_of_logs    what follows from it
due, due_told, faces, walking_time, ahead                        what is to be read today
walk, walk_log, closing, conditions, striking, set_time, accepting    the survey at hand: booked
lengths_so_far, own_readings, live, live_calls, verdicts, second, in_common, beforehand   what its figures mean
told, telling, telling_proof, levels_reached, walk_words         that in words
asking, forms, forms_call, forms_strike, forms_declared, sitting    a journal being written
without_route                                                    where the route file is refused: resume or close only
folder_named, sticks                                             folders for logs and their copies
"""

from fieldtui.job.accepting import accept, answer_anew, doubt, frame_failed, read_again, tell
from fieldtui.job.calls import Call
from fieldtui.job.conditions import before_start
from fieldtui.job.history import Row
from fieldtui.job.job import Job, load_job, logs_folder
from fieldtui.job.levels_reached import over_levels
from fieldtui.job.live import (
    AtHand,
    FiguresSoFar,
    FrameAssessment,
    assess_chord,
    assess_figures,
    assess_frame,
    at_hand,
    figures_typed,
    verdict_of,
)
from fieldtui.job.live_calls import LiveCalls, calls_with, open_calls_with
from fieldtui.job.questions import Question, as_mistake, as_new_thing, as_settled
from fieldtui.job.readings import Reading, reduce_booking
from fieldtui.job.sitting import Sitting, declare
from fieldtui.job.striking import Strikable, named_wrong, strikable
from fieldtui.job.survey import PRACTICE, SURVEY, Survey, route_of, route_record
from fieldtui.job.telling import local_time, tell_chord, tell_frame
from fieldtui.job.told import Told
from fieldtui.job.walk import Walk
from fieldtui.job.walk_log import new_label, system_clock
from fieldtui.job.walk_words import elsewhere, log_code, not_saved, parting, saved_text, suggestion
from fieldtui.job.without_route import job_to_walk, job_without_route

__all__ = [
    "PRACTICE",
    "SURVEY",
    "AtHand",
    "Call",
    "FiguresSoFar",
    "FrameAssessment",
    "Job",
    "LiveCalls",
    "Question",
    "Reading",
    "Row",
    "Sitting",
    "Strikable",
    "Survey",
    "Told",
    "Walk",
    "accept",
    "answer_anew",
    "as_mistake",
    "as_new_thing",
    "as_settled",
    "assess_chord",
    "assess_figures",
    "assess_frame",
    "at_hand",
    "before_start",
    "calls_with",
    "declare",
    "doubt",
    "elsewhere",
    "figures_typed",
    "frame_failed",
    "job_to_walk",
    "job_without_route",
    "load_job",
    "local_time",
    "log_code",
    "logs_folder",
    "named_wrong",
    "new_label",
    "not_saved",
    "open_calls_with",
    "over_levels",
    "parting",
    "read_again",
    "reduce_booking",
    "route_of",
    "route_record",
    "saved_text",
    "strikable",
    "suggestion",
    "system_clock",
    "tell",
    "tell_chord",
    "tell_frame",
    "verdict_of",
]
