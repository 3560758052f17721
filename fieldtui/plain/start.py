"""Which survey the line-by-line walk is about, and the streams it runs on."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from datetime import datetime
from io import TextIOWrapper

from fieldtui.errors import FieldError
from fieldtui.job import (
    PRACTICE,
    SURVEY,
    Job,
    Survey,
    Walk,
    before_start,
    local_time,
    over_levels,
    parting,
    system_clock,
)
from fieldtui.job.ahead import newest_ahead
from fieldtui.job.instrument import before_survey
from fieldtui.job.twice import twice_told
from fieldtui.job.walk import Clock
from fieldtui.plain.ending import confirm_closing, offer_copy
from fieldtui.plain.orders import BACK, numbered
from fieldtui.plain.talk import ATTENTION, DONE, Read, Write, run_plain
from fieldtui.settings import AS_USUAL, Settings, read_settings

_AT_ONCE = 10_000
"""So many readings are gone through before the first line: a second or two."""


def run_plain_walk(job: Job, *, practice: bool = False) -> int:
    """The walk on this process's own input and output. Bytes that are no text become a mark that is refused later."""
    for stream, encoding in ((sys.stdin, "utf-8-sig"), (sys.stdout, "utf-8")):
        if isinstance(stream, TextIOWrapper):
            stream.reconfigure(encoding=encoding, errors="replace")
    return start_plain(job, _read, print, bell=sys.stdout.isatty(), practice=practice, settings=read_settings())


def start_plain(
    job: Job,
    read: Read,
    write: Write,
    *,
    clock: Clock = system_clock,
    bell: bool = False,
    practice: bool = False,
    settings: Settings = AS_USUAL,
) -> int:
    """Choose a survey, where one is open, and walk it; the exit status. `practice` begins one kept out of the job."""

    def walked(walk: Walk) -> int:
        if walk.practice:
            write("Practice: kept out of the job, for learning and not for knowing.")
        return run_plain(walk, read, write, job=job, bell=bell, settings=settings)

    at = clock()
    behind = (*before_start(job.folder, job.logs.logs, at), *_of_readings(job, at), *before_survey(job, at))
    for told in (*settings.problems, *job.problems, *behind):
        write(f"! {told}")
    if practice or not job.unclosed:
        return walked(Walk.begin(job, clock=clock, scope=PRACTICE if practice else SURVEY))
    choices = _choices(job)
    for place, (text, _, _) in enumerate(choices, 1):
        write(f"  {place} {text}")
    write("  0 leave")
    while True:
        try:
            line = read("What now: ")
            if line.strip().lower() in BACK:
                raise EOFError
            _, what, survey = choices[numbered(line, len(choices))]
            if what == "close" and survey is not None:
                return _close(Walk.resume(job, survey, clock=clock), read, write)
            scope = PRACTICE if what == "practice" else SURVEY
            walk = (
                Walk.begin(job, clock=clock, scope=scope) if survey is None else Walk.resume(job, survey, clock=clock)
            )
        except (EOFError, KeyboardInterrupt):
            write("\nNothing was begun or changed.")
            return ATTENTION
        except FieldError as error:
            write(str(error))
        else:
            return walked(walk)


def _of_readings(job: Job, at: datetime) -> Iterator[str]:
    """What has to be said of readings; of years of them it takes a while, and stands on the screen's first page."""
    if job.readings_at_most > _AT_ONCE:
        yield f"{len(job.counting)} surveys are behind: what is amiss in them is said on the first page of the screen."
        return
    yield from newest_ahead(job.account.readings, at)
    yield from twice_told(story.readings for story in job.account.stories.values())


def _choices(job: Job) -> list[tuple[str, str, Survey | None]]:
    """Resume or close each survey that is open, or start a new one."""
    found: list[tuple[str, str, Survey | None]] = []
    for survey in job.unclosed:
        name = f"{'practice survey' if survey.scope == PRACTICE else 'survey'} {survey.label}"
        where = ", open in another program" if survey.locked else ""
        found.append((f"resume {name}, begun {local_time(survey.route, survey.started)}{where}", "resume", survey))
        if not survey.locked:
            found.append((f"close {name} as it is", "close", survey))
    if job.may_begin:
        found.append(("start a new survey", "new", None))
        found.append(("start a practice survey, kept out of the job", "practice", None))
    return found


def _close(walk: Walk, read: Read, write: Write) -> int:
    attention = bool(walk.missing or over_levels(walk))
    try:
        confirm_closing(walk, read)
        walk.close()
    finally:
        walk.leave()
    write(parting(walk))
    offer_copy(walk, read, write)
    return ATTENTION if attention else DONE


def _read(prompt: str) -> str:
    """A line; what was read from a file or pipe is written out, so that the page reads like a talk."""
    if sys.stdin.isatty():
        return input(prompt)
    line = sys.stdin.readline()
    if not line:
        raise EOFError
    print(f"{prompt}{line.rstrip()}", flush=True)
    return line
