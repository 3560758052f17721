"""A route out of a text, or all that is wrong with it, at once.

    text ──► syntax.py ──► shape.py ──► rules.py, table.py ──► build.py ──► Route
                 │             │               │
                 └─────────────┴───────────────┴──► locate.py ──► RouteRefused

A mistake of syntax is told alone, since nothing behind it can be trusted; so is a format that is newer than this.
"""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from pathlib import Path
from typing import Any

from fieldtui.route.build import build
from fieldtui.route.draft import RouteDraft, TapeDraft
from fieldtui.route.locate import lines_of
from fieldtui.route.model import Route
from fieldtui.route.problem import Mistake, Problem, RouteRefused, placed
from fieldtui.route.read import Fetch
from fieldtui.route.rules import mistakes_in
from fieldtui.route.shape import shaped
from fieldtui.route.syntax import parsed, too_deep
from fieldtui.route.table import Table, read_table, strays
from fieldtui.route.textfile import BOM, Unreadable

FORMAT = 1


def checked(text: str, fetch: Fetch, name: str, path: Path | None) -> Route:
    """The route in a text; `fetch` gives the files that it names. Raises `RouteRefused`."""
    text = text.removeprefix(BOM)
    raw = parsed(text, name)
    _refuse_other_format(raw, text, name)
    try:
        shape = shaped(raw)
        mistakes = [*shape.mistakes, *mistakes_in(shape.draft, shape.told)]
        files, tables, table_mistakes, table_problems = _calibrations(shape.draft, fetch)
        mistakes += table_mistakes
        if mistakes or table_problems:
            raise RouteRefused(name, [*placed(mistakes, lines_of(text), name), *table_problems])
    except RecursionError as error:
        raise too_deep(name) from error
    return build(shape.draft, tables, text=text, files=files, path=path)


def _refuse_other_format(raw: Mapping[str, Any], text: str, name: str) -> None:
    given = raw.get("format")
    if isinstance(given, int) and not isinstance(given, bool) and given != FORMAT:
        todo = "use a newer version of the program" if given > FORMAT else f"write format = {FORMAT}"
        mistake = Mistake(("format",), f"is {given}; this program reads format {FORMAT}", todo)
        raise RouteRefused(name, placed([mistake], lines_of(text), name))


def _calibrations(
    draft: RouteDraft, fetch: Fetch
) -> tuple[dict[str, str], list[Mapping[int, Decimal] | None], list[Mistake], list[Problem]]:
    """The files that tapes name, the table of each tape (None without one), and what is wrong with them."""
    files: dict[str, str] = {}
    tables: list[Mapping[int, Decimal] | None] = []
    mistakes: list[Mistake] = []
    problems: list[Problem] = []
    for place, tape in enumerate(draft.tape):
        if tape.calibration is None:
            tables.append(None)
            continue
        try:
            files[tape.calibration] = _beside(tape.calibration, fetch)
        except Unreadable as error:
            if error.line:  # it is there, and stops being text at that line of its own
                problems.append(Problem(tape.calibration, error.line, "", error.what, error.todo))
            else:
                mistakes.append(Mistake(("tape", place, "calibration"), error.what, error.todo))
            tables.append(None)
            continue
        table = read_table(files[tape.calibration], tape.calibration)
        problems += [*table.problems, *_strays(table, tape)]
        tables.append(table.distances)
    return files, tables, mistakes, problems


def _beside(name: str, fetch: Fetch) -> str:
    """The text of a file named relative to the route; a route with absolute names could not be moved."""
    if name.startswith(("/", "\\")) or name[1:2] == ":":
        raise Unreadable("names a place on one machine only", "put the table beside the route file, and give its name")
    return fetch(name)


def _strays(table: Table, tape: TapeDraft) -> tuple[Problem, ...]:
    if tape.first_hole is None or tape.holes is None or tape.first_hole_distance is None or tape.pitch is None:
        return ()
    return strays(
        table,
        tape.calibration or "",
        first_hole=tape.first_hole,
        holes=tape.holes,
        first_hole_distance=tape.first_hole_distance,
        pitch=tape.pitch,
    )
