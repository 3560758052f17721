"""Which survey the line-by-line walk is about, and the streams it runs on."""

from __future__ import annotations

import sys
from io import TextIOWrapper

from fieldtui.errors import FieldError
from fieldtui.job import PRACTICE, Job, Survey, Walk, local_time, system_clock
from fieldtui.job.walk import Clock
from fieldtui.plain.orders import numbered
from fieldtui.plain.talk import ATTENTION, DONE, Read, Write, run_plain


def run_plain_walk(job: Job) -> int:
    """The walk on this process's own input and output. Bytes that are no text become a mark that is refused later."""
    for stream, encoding in ((sys.stdin, "utf-8-sig"), (sys.stdout, "utf-8")):
        if isinstance(stream, TextIOWrapper):
            stream.reconfigure(encoding=encoding, errors="replace")
    return start_plain(job, _read, print, bell=sys.stdout.isatty())


def start_plain(job: Job, read: Read, write: Write, *, clock: Clock = system_clock, bell: bool = False) -> int:
    """Choose a survey, where one is open, and walk it; the exit status."""
    for problem in job.problems:
        write(f"! {problem}")
    if not job.unclosed:
        return run_plain(Walk.begin(job, clock=clock), read, write, job=job, bell=bell)
    choices = _choices(job)
    for place, (text, _, _) in enumerate(choices, 1):
        write(f"  {place} {text}")
    while True:
        try:
            _, what, survey = choices[numbered(read("What now: "), len(choices))]
            walk = Walk.begin(job, clock=clock) if survey is None else Walk.resume(job, survey, clock=clock)
        except (EOFError, KeyboardInterrupt):
            write("\nNothing was begun or changed.")
            return ATTENTION
        except FieldError as error:
            write(str(error))
        else:
            return _close(walk, write) if what == "close" else run_plain(walk, read, write, job=job, bell=bell)


def _choices(job: Job) -> list[tuple[str, str, Survey | None]]:
    """Resume or close each survey that is open, or start a new one."""
    found: list[tuple[str, str, Survey | None]] = []
    for survey in job.unclosed:
        name = f"{'practice survey' if survey.scope == PRACTICE else 'survey'} {survey.label}"
        where = ", open in another program" if survey.locked else ""
        found.append((f"resume {name}, begun {local_time(survey.route, survey.started)}{where}", "resume", survey))
        found.append((f"close {name} as it is", "close", survey))
    return [*found, ("start a new survey", "new", None)] if job.may_begin else found


def _close(walk: Walk, write: Write) -> int:
    missing = bool(walk.missing)
    try:
        walk.close()
    finally:
        walk.leave()
    write(walk.parting())
    return ATTENTION if missing else DONE


def _read(prompt: str) -> str:
    """A line; what was read from a file or pipe is written out, so that the page reads like a talk."""
    if sys.stdin.isatty():
        return input(prompt)
    line = sys.stdin.readline()
    if not line:
        raise EOFError
    print(f"{prompt}{line.rstrip()}", flush=True)
    return line
