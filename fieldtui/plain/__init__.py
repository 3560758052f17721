"""The walk line by line, on any terminal or from a file: the core of the screen, and no screen library.

start   which survey: resume, close as it is, start anew     run_plain_walk
talk    prompt, line, answer, until the survey is closed     run_plain
orders  lines that are not figures: words for the actions
doing   what each of them does
more    the list of all of them, by number, and what no other order does
ending  what is told at the end, closing, a copy of the log
"""

from fieldtui.plain.start import run_plain_walk
from fieldtui.plain.talk import run_plain

__all__ = ["run_plain", "run_plain_walk"]
