"""What the command `check` says of a route: refused, advice, or in order.

`checked` looks, `told` puts it into text, `as_json` into a plain dict; `check` is the first two in one call.
"""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

from msgspec import Struct

from fieldtui.counted import counted
from fieldtui.printable import printable_lines
from fieldtui.route.advice import advice
from fieldtui.route.model import Route
from fieldtui.route.problem import Problem, RouteRefused
from fieldtui.route.read import load_route

IN_ORDER, ADVICE, REFUSED = 0, 1, 2


class Checked(Struct, frozen=True):
    """A route looked at; `route` is None where it was refused, and `problems` say why, else they are advice."""

    path: Path
    route: Route | None
    problems: tuple[Problem, ...]

    @property
    def status(self) -> int:
        """The exit status: 0 in order, 1 something to look at, 2 refused."""
        if self.route is None:
            return REFUSED
        return ADVICE if self.problems else IN_ORDER


def check(path: Path, today: date | None = None) -> tuple[int, str]:
    """Exit status and text for the route file at `path`; certificates are judged by `today`."""
    found = checked(path, today)
    return found.status, told(found)


def checked(path: Path, today: date | None = None) -> Checked:
    """The route file at `path` with everything there is to say of it."""
    try:
        route = load_route(path)
    except RouteRefused as refused:
        return Checked(path, None, refused.problems)
    return Checked(path, route, advice(route, today))


def told(found: Checked) -> str:
    """The text: one line for each problem, and a last line that sums up."""
    lines = [str(problem) for problem in found.problems]
    count = len(found.problems)
    if found.route is None:
        lines.append(f"{found.path.name or found.path}: refused, {counted(count, 'mistake')}.")
    else:
        remarks = f", {counted(count, 'word')} of advice" if count else ""
        lines.append(f"{found.path.name}: in order{remarks}. {_contents(found.route)}")
    return printable_lines("\n".join(lines))


def as_json(found: Checked) -> dict[str, Any]:
    """The same for a program: `route`, `status`, `refused`, and the problems, each with file, line, key, what, todo."""
    return {
        "route": str(found.path),
        "name": found.route.name if found.route is not None else None,
        "status": found.status,
        "refused": found.route is None,
        "problems": [
            {
                "file": problem.file,
                "line": problem.line or None,
                "key": problem.key or None,
                "what": problem.what,
                "todo": problem.todo or None,
            }
            for problem in found.problems
        ],
    }


def _contents(route: Route) -> str:
    chords = sum(1 for _ in route.walk())
    closed = sum(1 for station in route.stations if station.closed)
    told_closed = f" ({closed} closed)" if closed else ""
    return (
        f"{counted(len(route.stations), 'station')}{told_closed}, {counted(chords, 'chord')} to read, "
        f"{counted(len(route.tapes), 'tape')}, {counted(len(route.extensometers), 'extensometer')}, "
        f"{counted(len(route.levels), 'level')}."
    )
