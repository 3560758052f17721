"""One command, one call; each room is imported when its command is called.

Exit status: 0 done, 1 done and something needs attention, 2 could not be done."""

from __future__ import annotations

import argparse
import gc
import json
import sys
from collections.abc import Callable, Sequence
from datetime import UTC, datetime
from io import TextIOWrapper
from pathlib import Path
from typing import TYPE_CHECKING

from fieldtui.arguments import asked, help_text
from fieldtui.errors import FieldError
from fieldtui.loading import made, making_what_stays
from fieldtui.printable import printable, printable_lines

if TYPE_CHECKING:
    from fieldtui.job import Job

DONE, ATTENTION, FAILED = 0, 1, 2


def main(argv: Sequence[str] | None = None) -> int:
    """Run the command line. Every error a person can meet is told in words, never as a traceback."""
    _take_every_sign()
    try:
        arguments = asked(argv)
        status = _RUN[arguments.command](arguments)
        sys.stdout.flush()
        return status
    except FieldError as error:
        print(printable_lines(str(error)), file=sys.stderr)
        return FAILED
    except KeyboardInterrupt:
        print("Stopped. Every entry that was shown as saved is in the log.", file=sys.stderr)
        return FAILED
    except BrokenPipeError:
        # whoever read our output has gone; there is nobody left to tell
        sys.stderr.close()
        return DONE
    except OSError as error:
        if error.filename is not None:
            raise  # of a file that was named: its room has to tell of it
        print(f"Reading or writing failed: {error.strerror}. Look at where the output goes.", file=sys.stderr)
        return FAILED


def _take_every_sign() -> None:
    """A file or a pipe is given UTF-8; a terminal that lacks a sign a question mark for it, and no error."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, TextIOWrapper):
            stream.reconfigure(encoding=None if stream.isatty() else "utf-8", errors="replace")


def _start(arguments: argparse.Namespace) -> int:
    if not _terminal():
        sys.stdout.write(help_text())
        return FAILED
    with making_what_stays():
        from fieldtui.review.opening import rooms
        from fieldtui.tui.app import run
        from fieldtui.tui.start import RoutesDesk

    desk = RoutesDesk(Path.cwd())
    if not desk.menu.items:
        made()
        print("There is no route file here or in the folders below. Lay out the demo job with: fieldtui demo")
        return FAILED
    return run(desk, rooms())


def _walk(arguments: argparse.Namespace) -> int:
    if _terminal():
        print(f"Reading the logs of {arguments.route} ...", file=sys.stderr)
    if arguments.plain:
        return _walk_line_by_line(arguments)
    if arguments.practice:
        raise FieldError("--practice goes with --plain.", todo="On the screen, choose a practice survey from the list.")
    if not _terminal():
        raise FieldError("The walk needs a terminal.", todo="Use `fieldtui walk --plain` where there is none.")
    with making_what_stays():
        from fieldtui.job import job_to_walk
        from fieldtui.review.opening import rooms
        from fieldtui.tui.app import run
        from fieldtui.tui.start import StartDesk

        job = job_to_walk(arguments.route, arguments.logs)
    return run(StartDesk(job), rooms())


def _walk_line_by_line(arguments: argparse.Namespace) -> int:
    with making_what_stays():
        from fieldtui.job import job_to_walk
        from fieldtui.plain import run_plain_walk

        job = job_to_walk(arguments.route, arguments.logs)
    made()
    return run_plain_walk(job, practice=arguments.practice)


def _lay(arguments: argparse.Namespace) -> int:
    if not _terminal():
        raise FieldError("Laying a route needs a terminal.", todo="Write the file by hand, and check it.")
    from fieldtui.laying.opening import open_laying
    from fieldtui.review.opening import rooms
    from fieldtui.tui.app import run

    return run(open_laying(arguments.route, datetime.now(UTC).date()), rooms())


def _job(arguments: argparse.Namespace, *, to_read: bool = False) -> Job:
    from fieldtui.job import load_job, logs_folder
    from fieldtui.route import load_route

    if to_read and arguments.logs and not arguments.logs.is_dir():
        raise FieldError("There is no such folder of logs.", where=str(arguments.logs), todo="Look at the name.")
    route = load_route(arguments.route)
    return load_job(route, logs_folder(route, arguments.logs))


def _check(arguments: argparse.Namespace) -> int:
    from fieldtui.route.check import as_json, checked, told

    found = checked(arguments.route, datetime.now(UTC).date())
    answer, text = as_json(found), told(found)
    if arguments.layouts and found.route is not None:
        from fieldtui.movement.layouts import layout_lines, layout_objects

        answer["layouts"] = layout_objects(found.route) if arguments.json else []
        text = "\n".join((text, "", *layout_lines(found.route))) if not arguments.json else text
    print(json.dumps(answer, indent=2, ensure_ascii=False) if arguments.json else text)
    return found.status


def _book(arguments: argparse.Namespace) -> int:
    from fieldtui.paper.book import book

    # a long sheet makes a million small objects, none of them in a ring: looking for rings takes as long as the rest
    gc.disable()
    job = _job(arguments)
    return book(job, arguments.sheet, print, as_lines=arguments.json)


def _sheet(arguments: argparse.Namespace) -> int:
    from fieldtui.paper.blank import blank_csv
    from fieldtui.paper.page import blank_html
    from fieldtui.paper.saving import save_new
    from fieldtui.route import load_route

    route = load_route(arguments.route)
    text = blank_html(route) if arguments.to == "html" else blank_csv(route)
    if arguments.out is None:
        sys.stdout.write(text)
        return DONE
    save_new(arguments.out, text)
    print(f"The blank sheet of {route.name} is in {arguments.out}.")
    return DONE


def _import(arguments: argparse.Namespace) -> int:
    from fieldtui.paper.taking import take_over

    job = _job(arguments)
    return take_over(job, arguments.sheet, print, as_lines=arguments.json)


def _export(arguments: argparse.Namespace) -> int:
    from fieldtui.handover.export import export
    from fieldtui.handover.part import part_of
    from fieldtui.handover.report.scope import refuse_what_has_not_come
    from fieldtui.progress import OnErrorStream

    with OnErrorStream() as progress:
        progress("reading the logs", 0, 0)
        job = _job(arguments, to_read=True)
        refuse_what_has_not_come(job, arguments.as_of, datetime.now(UTC))
        told: list[str] = []
        status = export(
            arguments.to,
            part_of(job, arguments.since, arguments.as_of),
            arguments.out,
            told.append,
            progress=progress,
            spelt_out=arguments.spell_out,
        )
    print("\n".join(told))
    return status


def _report(arguments: argparse.Namespace) -> int:
    from fieldtui.handover.report.command import write_report
    from fieldtui.handover.report.scope import refuse_what_has_not_come, scope_of

    job = _job(arguments, to_read=True)
    refuse_what_has_not_come(job, arguments.as_of, datetime.now(UTC))
    scope = scope_of(job, arguments.survey, arguments.since, arguments.as_of, arguments.status, arguments.by)
    return write_report(scope, arguments.form, arguments.out, print)


def _verify(arguments: argparse.Namespace) -> int:
    from fieldtui.custody.telling import tell_verify

    return tell_verify(arguments.places, print, code=arguments.code, figures=arguments.figures, as_json=arguments.json)


def _gather(arguments: argparse.Namespace) -> int:
    from fieldtui.custody.telling import tell_gather

    return tell_gather(arguments.sources, arguments.into, print, as_json=arguments.json)


def _due(arguments: argparse.Namespace) -> int:
    from fieldtui.job.due import due_of
    from fieldtui.job.due_told import due_json, due_lines

    job, now = _job(arguments, to_read=True), datetime.now(UTC)
    told = due_of(job, now)
    as_json = arguments.json
    calls = job.open_calls()
    answer = (
        json.dumps(due_json(told, now, calls), indent=2)
        if as_json
        else "\n".join(due_lines(told, job.route, now, calls))
    )
    print(answer)
    return max(_lacking(job), ATTENTION if told.overdue or calls else DONE)


def _history(arguments: argparse.Namespace) -> int:
    from fieldtui.history import tables
    from fieldtui.history.shown import chosen, lines, objects

    job = _job(arguments, to_read=True)
    found = chosen(tables(job), job.route, arguments.station, arguments.chord, arguments.since)
    rows = (json.dumps(row, ensure_ascii=False) for row in objects(found))
    for line in rows if arguments.json else lines(found, job.route):
        print(line)
    return _lacking(job)


def _lacking(job: Job) -> int:
    """Say on the error stream, beside an answer that may be for a program, what the logs lack; the exit status."""
    unknown = [] if job.folder.is_dir() else [f"There is no folder of logs {job.folder}: nothing is known yet."]
    for one in (*job.problems, *unknown):
        print(f"! {printable(one)}", file=sys.stderr)
    return ATTENTION if job.problems else DONE


def _review(arguments: argparse.Namespace) -> int:
    from fieldtui.review.opening import OpeningDesk
    from fieldtui.tui.app import run

    if not _terminal():
        raise FieldError("The review needs a terminal.", todo="Use `fieldtui history` where there is none.")
    return run(OpeningDesk(_job(arguments, to_read=True)))


def _demo(arguments: argparse.Namespace) -> int:
    from fieldtui.demo import book_one, open_or_lay_demo

    path, told = open_or_lay_demo(arguments.folder, datetime.now(UTC))
    print(told)
    if not _terminal():
        print(book_one(path))
        return DONE
    return _walk(argparse.Namespace(route=path, logs=None, plain=False, practice=False))


def _terminal() -> bool:
    return sys.stdin.isatty() and sys.stdout.isatty()


_RUN: dict[str | None, Callable[[argparse.Namespace], int]] = {
    None: _start,
    "walk": _walk,
    "lay": _lay,
    "check": _check,
    "book": _book,
    "sheet": _sheet,
    "import": _import,
    "export": _export,
    "report": _report,
    "verify": _verify,
    "gather": _gather,
    "due": _due,
    "history": _history,
    "review": _review,
    "demo": _demo,
}
"""What each command calls; without a command, the start page."""
