"""A route out of its file, or out of the texts that a log keeps of it; or all that is wrong with it, at once.

What checks it, `checking.py`, is loaded when there is a route to be checked: it stands on a library of models that
takes as long to load as all that the walk's first prompt needs of our own. A route that was checked before does
without (`checked_text.py`).
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path

from fieldtui.route.model import Route
from fieldtui.route.problem import Problem, RouteRefused
from fieldtui.route.textfile import Unreadable, read_text

Fetch = Callable[[str], str]
"""Gives the text of a file that the route names; raises `Unreadable`."""


def load_route(path: Path) -> Route:
    """The route in a file, with every file it names read as well (relative to it). Raises `RouteRefused`."""
    try:
        text = read_text(path)
    except Unreadable as error:
        name = path.name or str(path)
        raise RouteRefused(name, [Problem(name, error.line, "", error.what, error.todo)]) from error
    return _checked(text, lambda name: read_text(path.parent / name), path.name, path)


def parse_route(text: str, files: Mapping[str, str], *, name: str, path: Path | None = None) -> Route:
    """The route in a text; `files` are the texts of the files it names, by that name. Raises `RouteRefused`.

    `name` is what the route file is called in messages; `path` is only kept.
    """

    def fetch(wanted: str) -> str:
        if wanted not in files:
            raise Unreadable(f'the text of "{wanted}" is not at hand', "give it along with the route")
        return files[wanted]

    return _checked(text, fetch, name, path)


def reads_the_same(path: Path, route: Route) -> bool:
    """Whether a file, with every file it names, still holds the texts that this route was read from."""
    try:
        return read_text(path) == route.text and all(
            read_text(path.parent / name) == text for name, text in route.files.items()
        )
    except Unreadable:
        return False


def _checked(text: str, fetch: Fetch, name: str, path: Path | None) -> Route:
    from fieldtui.route.checking import checked

    return checked(text, fetch, name, path)
