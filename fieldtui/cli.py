"""One command, one call; each room is imported when its command is called.

Exit status: 0 done, 1 done and something needs attention, 2 could not be done."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Callable, Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from fieldtui import __version__
from fieldtui.errors import FieldError

if TYPE_CHECKING:
    from fieldtui.job import Job

    Commands = argparse._SubParsersAction[argparse.ArgumentParser]

DONE, ATTENTION, FAILED = 0, 1, 2


def main(argv: Sequence[str] | None = None) -> int:
    """Run the command line. Every error a person can meet is told in words, never as a traceback."""
    arguments = _parser().parse_args(argv)
    run: Callable[[argparse.Namespace], int] = arguments.run
    try:
        return run(arguments)
    except FieldError as error:
        print(error, file=sys.stderr)
        return FAILED
    except KeyboardInterrupt:
        print("Stopped. Every entry that was shown as saved is in the log.", file=sys.stderr)
        return FAILED
    except BrokenPipeError:
        # whoever read our output has gone; there is nobody left to tell
        sys.stderr.close()
        return DONE


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="fieldtui", description="Tape convergence surveys: walk a route, book every reading, know what it means."
    )
    parser.add_argument("--version", action="version", version=f"fieldtui {__version__}")
    parser.set_defaults(run=_start)
    commands = parser.add_subparsers(title="commands", metavar="COMMAND")

    walk = commands.add_parser("walk", help="start or resume a survey of a route")
    walk.add_argument("route", type=Path, metavar="ROUTE", help="route file (TOML)")
    walk.add_argument("--logs", type=Path, help="folder of the logs, if not `logs` beside the route file")
    walk.add_argument("--plain", action="store_true", help="line by line, without a screen")
    walk.add_argument("--practice", action="store_true", help="with --plain: a survey that is kept out of the job")
    walk.set_defaults(run=_walk)

    lay = commands.add_parser("lay", help="lay a route by questions, or add to one: sections, stations, instruments")
    lay.add_argument("route", type=Path, metavar="ROUTE", help="route file (TOML); a new one, or one to add to")
    lay.set_defaults(run=_lay)

    check = commands.add_parser("check", help="check a route file: every mistake at once, each with its line")
    check.add_argument("route", type=Path, metavar="ROUTE")
    check.add_argument("--layouts", action="store_true", help="what the layouts of its stations can see, and what not")
    check.add_argument("--json", action="store_true", help="the answer for a program")
    check.set_defaults(run=_check)

    book = _with_route(commands, "book", help="book a filled booking sheet and say what came of every row")
    book.add_argument("sheet", type=Path, metavar="SHEET", help="CSV, as `fieldtui sheet ROUTE --to csv` lays it out")
    book.add_argument("--json", action="store_true", help="one object a row, one line each")
    book.set_defaults(run=_book)

    sheet = commands.add_parser("sheet", help="lay out the blank booking sheet: to print, or to fill")
    sheet.add_argument("route", type=Path, metavar="ROUTE")
    sheet.add_argument("--to", choices=("html", "csv"), default="html", help="html to print (default), csv to fill")
    sheet.add_argument("--out", type=Path, metavar="FILE", help="write it to a new file, not to the screen")
    sheet.set_defaults(run=_sheet)

    taken = _with_route(commands, "import", help="take over earlier lengths or raw readings from a spreadsheet")
    taken.add_argument("sheet", type=Path, metavar="CSV", help="station, chord, time, and length or raw figures")
    taken.add_argument("--json", action="store_true", help="one object a row, one line each")
    taken.set_defaults(run=_import)

    export = _with_route(commands, "export", help="write the job as tables that other systems take")
    export.add_argument("--to", choices=("csv", "xlsx", "ags", "parquet"), required=True, help="which kind of file")
    export.add_argument("--since", default="", metavar="DATE", help="readings from that day on")
    export.add_argument("--as-of", default="", metavar="TIME", help="as read by then; default: all")
    export.add_argument("--spell-out", action="store_true", help="ags: write signs it does not have as numbers")
    export.add_argument("--out", type=Path, metavar="PATH", help="where to, if not beside the route file")
    export.set_defaults(run=_export)

    _report_parser(commands)

    verify = commands.add_parser("verify", help="are these logs whole, and do their figures come out again")
    verify.add_argument("places", type=Path, nargs="+", metavar="LOG", help="log files, or folders of logs")
    verify.add_argument("--code", help="the code from the field book: does it fit one of these logs")
    verify.add_argument("--figures", action="store_true", help="reduce every closed length anew from its raw figures")
    verify.add_argument("--json", action="store_true", help="the answer for a program")
    verify.set_defaults(run=_verify)

    gather = commands.add_parser("gather", help="bring the logs of laptops and sticks together in one folder")
    gather.add_argument(
        "sources", type=Path, nargs="+", metavar="FOLDER", help="folders that hold logs; none is changed"
    )
    gather.add_argument("--into", type=Path, default=Path("gathered"), metavar="FOLDER", help="default: gathered")
    gather.add_argument("--json", action="store_true", help="the answer for a program")
    gather.set_defaults(run=_gather)

    due = _with_route(commands, "due", help="what must be read today, what is overdue, and how long it will take")
    due.add_argument("--json", action="store_true", help="the answer for a program")
    due.set_defaults(run=_due)

    history = _with_route(commands, "history", help="what was read and what it comes to, chord by chord")
    history.add_argument("--station", default="", help="of this station alone")
    history.add_argument("--chord", default="", help="of this chord alone, FROM-TO or TO-FROM")
    history.add_argument("--since", default="", metavar="DATE", help="read on that day or later")
    history.add_argument("--json", action="store_true", help="one object a row, one line each")
    history.set_defaults(run=_history)

    review = _with_route(commands, "review", help="look at what has moved: plots, laws, anchors, chord by chord")
    review.set_defaults(run=_review)

    demo = commands.add_parser("demo", help="lay out the invented demo job in a folder and open it")
    demo.add_argument("folder", type=Path, nargs="?", default=Path("fieldtui-demo"), metavar="FOLDER")
    demo.set_defaults(run=_demo)
    return parser


def _report_parser(commands: Commands) -> None:
    report = _with_route(commands, "report", help="write the report: what moved, what is at a level, who was told")
    part = report.add_mutually_exclusive_group()
    part.add_argument("--survey", default="", metavar="LABEL", help="of this survey, and what was known by its end")
    part.add_argument("--since", default="", metavar="DATE", help="tables list readings from that day on")
    report.add_argument("--as-of", default="", metavar="TIME", help="as read by then; default: the last reading")
    report.add_argument("--form", choices=("full", "shift", "text"), default="full", help="shift: one page")
    report.add_argument("--status", choices=("raw", "checked", "issued"), default="raw", help="how far it was checked")
    report.add_argument("--by", default="", metavar="NAME", help="who checked or issued it")
    report.add_argument("--out", type=Path, metavar="FILE", help="file, if not one beside the route file")
    report.set_defaults(run=_report)


def _with_route(commands: Commands, name: str, help: str) -> argparse.ArgumentParser:
    """A command that works on a route and its logs."""
    command = commands.add_parser(name, help=help)
    command.add_argument("route", type=Path, metavar="ROUTE")
    command.add_argument("--logs", type=Path, help="folder of the logs, if not `logs` beside the route file")
    return command


def _start(arguments: argparse.Namespace) -> int:
    if not _terminal():
        _parser().print_help()
        return FAILED
    from fieldtui.review.opening import rooms
    from fieldtui.tui.app import run
    from fieldtui.tui.start import RoutesDesk

    desk = RoutesDesk(Path.cwd())
    if not desk.menu.items:
        print("There is no route file here or in the folders below. Lay out the demo job with: fieldtui demo")
        return FAILED
    return run(desk, rooms())


def _walk(arguments: argparse.Namespace) -> int:
    from fieldtui.job import job_to_walk

    if _terminal():
        print(f"Reading the logs of {arguments.route} ...", file=sys.stderr)
    job = job_to_walk(arguments.route, arguments.logs)
    if arguments.plain:
        from fieldtui.plain import run_plain_walk

        return run_plain_walk(job, practice=arguments.practice)
    if arguments.practice:
        raise FieldError("--practice goes with --plain.", todo="On the screen, choose a practice survey from the list.")
    if not _terminal():
        raise FieldError("The walk needs a terminal.", todo="Use `fieldtui walk --plain` where there is none.")
    from fieldtui.review.opening import rooms
    from fieldtui.tui.app import run
    from fieldtui.tui.start import StartDesk

    return run(StartDesk(job), rooms())


def _lay(arguments: argparse.Namespace) -> int:
    if not _terminal():
        raise FieldError("Laying a route needs a terminal.", todo="Write the file by hand, and check it.")
    from fieldtui.laying.opening import open_laying
    from fieldtui.review.opening import rooms
    from fieldtui.tui.app import run

    return run(open_laying(arguments.route), rooms())


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
    import gc

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
    from fieldtui.progress import OnErrorStream

    with OnErrorStream() as progress:
        progress("reading the logs", 0, 0)
        job = _job(arguments, to_read=True)
        told: list[str] = []
        status = export(
            arguments.to,
            part_of(job, arguments.since, arguments.as_of),
            arguments.out,
            told.append,
            today=datetime.now(UTC),
            progress=progress,
            spelt_out=arguments.spell_out,
        )
    print("\n".join(told))
    return status


def _report(arguments: argparse.Namespace) -> int:
    from fieldtui.handover.report.command import write_report
    from fieldtui.handover.report.scope import scope_of

    job = _job(arguments, to_read=True)
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
    return ATTENTION if told.overdue or calls else DONE


def _history(arguments: argparse.Namespace) -> int:
    from fieldtui.history import tables
    from fieldtui.history.shown import chosen, lines, objects

    job = _job(arguments, to_read=True)
    found = chosen(tables(job), job.route, arguments.station, arguments.chord, arguments.since)
    rows = (json.dumps(row, ensure_ascii=False) for row in objects(found))
    for line in rows if arguments.json else lines(found, job.route):
        print(line)
    return DONE


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
