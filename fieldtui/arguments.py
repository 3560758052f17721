"""What can be typed after `fieldtui`: its commands and their options, and what is said of a line that cannot be read.

Knows no room: `cli.py` holds what each command calls.
"""

from __future__ import annotations

import argparse
import re
import sys
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn

from fieldtui import __version__
from fieldtui.errors import FieldError

if TYPE_CHECKING:
    Commands = argparse._SubParsersAction["_Parser"]

_SAID: tuple[tuple[str, str], ...] = (
    (r"the following arguments are required: (.+)", "{0} is missing."),
    (r"unrecognized arguments: (.+)", "It does not take: {0}."),
    (r"argument COMMAND: invalid choice: '(.*)' \(.+", "There is no command “{0}”."),
    (r"argument (\S+): invalid choice: '(.*)' \(choose from (.+)\)", "{0} does not take “{1}”; it takes {2}."),
    (r"argument (\S+): expected one argument", "{0} is without its value."),
    (r"argument (\S+): ignored explicit argument '(.*)'", "{0} takes no value, and here it has “{1}”."),
    (r"argument (\S+): (“-” is .+)", "{0}: {1}."),
    (r"argument (\S+): not allowed with argument (\S+)", "{0} does not go with {1}."),
    (r"ambiguous option: (\S+) could match (.+)", "{0} may be {1}."),
)
"""What the library says of a line that it cannot read, and how it is said here."""


class _Parser(argparse.ArgumentParser):
    def error(self, message: str) -> NoReturn:
        """Every mistake on the line is told as every other mistake is: what, where, what to do."""
        raise FieldError(_said(message), where=self.prog, todo=self._todo(message))

    def _todo(self, message: str) -> str:
        from difflib import get_close_matches  # no line that can be read waits for it

        commands = [name for action in self._actions if action.dest == "command" for name in action.choices or ()]
        wrong = re.match(r"argument COMMAND: invalid choice: '(.*)' \(", message)
        near = get_close_matches(wrong[1], commands, 1) if wrong else []
        meant = f"Is it `{self.prog} {near[0]}`? " if near else ""
        return f"{meant}What it takes is told by: {self.prog} --help"


def _said(message: str) -> str:
    for pattern, sentence in _SAID:
        found = re.fullmatch(pattern, message)
        if found:
            return sentence.format(*(part.replace("'", "") for part in found.groups()))
    return f"{message[:1].upper()}{message[1:]}."


def asked(line: Sequence[str] | None) -> argparse.Namespace:
    """What was asked for: `command` (None without one) and its arguments by name. `line`: what was typed; None: as run.

    `FieldError` where the line cannot be read.
    """
    line = sys.argv[1:] if line is None else line
    # a start waits for it: the parsers of all the commands take 8 ms, those that come with one command 5
    asked_for = [make for make, names in _MAKERS if line and line[0] in names]
    parser, commands = _parser(asked_for or _EVERY)
    found, rest = parser.parse_known_args(line)
    if rest:
        # told by the command itself, whose --help is the one to look at
        asker = commands.choices[found.command] if found.command else parser
        asker.error(f"unrecognized arguments: {' '.join(rest)}")
    return found


def help_text() -> str:
    """What `--help` says of the whole program."""
    return _parser(_EVERY)[0].format_help()


def _parser(makers: Iterable[Callable[[Commands], None]]) -> tuple[_Parser, Commands]:
    """The parser of the commands that these make."""
    parser = _Parser(
        prog="fieldtui", description="Tape convergence surveys: walk a route, book every reading, know what it means."
    )
    parser.add_argument("--version", action="version", version=f"fieldtui {__version__}")
    commands = parser.add_subparsers(title="commands", metavar="COMMAND", dest="command")
    for make in makers:
        make(commands)
    return parser, commands


def _of_a_route(commands: Commands) -> None:
    walk = commands.add_parser("walk", help="start or resume a survey of a route")
    walk.add_argument("route", type=Path, metavar="ROUTE", help="route file (TOML)")
    walk.add_argument("--logs", type=Path, help="folder of the logs, if not `logs` beside the route file")
    walk.add_argument("--plain", action="store_true", help="line by line, without a screen")
    walk.add_argument("--practice", action="store_true", help="with --plain: a survey that is kept out of the job")

    lay = commands.add_parser("lay", help="lay a route by questions, or add to one: sections, stations, instruments")
    lay.add_argument("route", type=Path, metavar="ROUTE", help="route file (TOML); a new one, or one to add to")

    check = commands.add_parser("check", help="check a route file: every mistake at once, each with its line")
    check.add_argument("route", type=Path, metavar="ROUTE")
    check.add_argument("--layouts", action="store_true", help="what the layouts of its stations can see, and what not")
    check.add_argument("--json", action="store_true", help="the answer for a program")


def _of_paper(commands: Commands) -> None:
    book = _with_route(commands, "book", help="book a filled booking sheet and say what came of every row")
    book.add_argument("sheet", type=Path, metavar="SHEET", help="CSV, as `fieldtui sheet ROUTE --to csv` lays it out")
    book.add_argument("--json", action="store_true", help="one object a row, one line each")

    sheet = commands.add_parser("sheet", help="lay out the blank booking sheet: to print, or to fill")
    sheet.add_argument("route", type=Path, metavar="ROUTE")
    sheet.add_argument("--to", choices=("html", "csv"), default="html", help="html to print (default), csv to fill")
    sheet.add_argument("--out", type=_named, metavar="FILE", help="write it to a new file, not to the screen")

    taken = _with_route(commands, "import", help="take over earlier lengths or raw readings from a spreadsheet")
    taken.add_argument("sheet", type=Path, metavar="CSV", help="station, chord, time, and length or raw figures")
    taken.add_argument("--json", action="store_true", help="one object a row, one line each")


def _export(commands: Commands) -> None:
    export = _with_route(commands, "export", help="write the job as tables that other systems take")
    export.add_argument("--to", choices=("csv", "xlsx", "ags", "parquet"), required=True, help="which kind of file")
    export.add_argument("--since", default="", metavar="DATE", help="readings from that day on")
    export.add_argument("--as-of", default="", metavar="TIME", help="as read by then; default: all")
    export.add_argument("--spell-out", action="store_true", help="ags: write signs it does not have as numbers")
    export.add_argument("--out", type=_named, metavar="PATH", help="where to, if not beside the route file")


def _report(commands: Commands) -> None:
    report = _with_route(commands, "report", help="write the report: what moved, what is at a level, who was told")
    part = report.add_mutually_exclusive_group()
    part.add_argument("--survey", default="", metavar="LABEL", help="of this survey, and what was known by its end")
    part.add_argument("--since", default="", metavar="DATE", help="tables list readings from that day on")
    report.add_argument("--as-of", default="", metavar="TIME", help="as read by then; default: the last reading")
    report.add_argument("--form", choices=("full", "shift", "text"), default="full", help="shift: one page")
    report.add_argument("--status", choices=("raw", "checked", "issued"), default="raw", help="how far it was checked")
    report.add_argument("--by", default="", metavar="NAME", help="who checked or issued it")
    report.add_argument("--out", type=_named, metavar="FILE", help="file, if not one beside the route file")


def _of_custody(commands: Commands) -> None:
    verify = commands.add_parser("verify", help="are these logs whole, and do their figures come out again")
    verify.add_argument("places", type=Path, nargs="+", metavar="LOG", help="log files, or folders of logs")
    verify.add_argument("--code", help="the code from the field book: does it fit one of these logs")
    verify.add_argument("--figures", action="store_true", help="reduce every closed length anew from its raw figures")
    verify.add_argument("--json", action="store_true", help="the answer for a program")

    gather = commands.add_parser("gather", help="bring the logs of laptops and sticks together in one folder")
    gather.add_argument(
        "sources", type=Path, nargs="+", metavar="FOLDER", help="folders that hold logs; none is changed"
    )
    gather.add_argument("--into", type=Path, default=Path("gathered"), metavar="FOLDER", help="default: gathered")
    gather.add_argument("--json", action="store_true", help="the answer for a program")


def _of_the_job(commands: Commands) -> None:
    due = _with_route(commands, "due", help="what must be read today, what is overdue, and how long it will take")
    due.add_argument("--json", action="store_true", help="the answer for a program")

    history = _with_route(commands, "history", help="what was read and what it comes to, chord by chord")
    history.add_argument("--station", default="", help="of this station alone")
    history.add_argument("--chord", default="", help="of this chord alone, FROM-TO or TO-FROM")
    history.add_argument("--since", default="", metavar="DATE", help="read on that day or later")
    history.add_argument("--json", action="store_true", help="one object a row, one line each")

    _with_route(commands, "review", help="look at what has moved: plots, laws, anchors, chord by chord")


def _demo(commands: Commands) -> None:
    demo = commands.add_parser("demo", help="lay out the invented demo job in a folder and open it")
    demo.add_argument("folder", type=Path, nargs="?", default=Path("fieldtui-demo"), metavar="FOLDER")


def _named(typed: str) -> Path:
    """Where something is written to. A bare dash is a stream elsewhere, and here it would be a file of that name."""
    if typed == "-":
        raise argparse.ArgumentTypeError("“-” is no name of a file, and nothing is written to a stream")
    return Path(typed)


def _with_route(commands: Commands, name: str, help: str) -> _Parser:
    """A command that works on a route and its logs."""
    command = commands.add_parser(name, help=help)
    command.add_argument("route", type=Path, metavar="ROUTE")
    command.add_argument("--logs", type=Path, help="folder of the logs, if not `logs` beside the route file")
    return command


_MAKERS: tuple[tuple[Callable[[Commands], None], tuple[str, ...]], ...] = (
    (_of_a_route, ("walk", "lay", "check")),
    (_of_paper, ("book", "sheet", "import")),
    (_export, ("export",)),
    (_report, ("report",)),
    (_of_custody, ("verify", "gather")),
    (_of_the_job, ("due", "history", "review")),
    (_demo, ("demo",)),
)
"""What makes the commands, in the order of the help, and the names of those that it makes."""
_EVERY = tuple(make for make, _ in _MAKERS)
