"""What is wrong with a route, and where.

Mistake   at a key of the route file (a path into the TOML), not yet with a line
Problem   the same with file and line, ready to be told
RouteRefused   all problems of a route at once
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from msgspec import Struct

from fieldtui.errors import FieldError

KeyPath = tuple[str | int, ...]
"""Where a value stands in the parsed file: keys, and places in lists counted from 0."""


class Mistake(Struct, frozen=True):
    """Something wrong at one key; `what` goes on from the key, `todo` is a sentence."""

    at: KeyPath
    what: str
    todo: str = ""


class Problem(Struct, frozen=True, order=True):
    """Something wrong at a line of a file. `line` counts from 1; 0 where there is no line to name.

    `key` counts stations, chords and so on from 1, as a person does: `station[2].chord[1].to`.
    """

    file: str
    line: int
    key: str
    what: str
    todo: str = ""

    @property
    def where(self) -> str:
        place = f"{self.file}:{self.line}" if self.line else self.file
        return f"{place}: {self.key}" if self.key else place

    def __str__(self) -> str:
        if not self.todo:
            return f"{self.where}: {self.what}."
        return f"{self.where}: {self.what}; {self.todo}."


class RouteRefused(FieldError):
    """A route file that cannot be walked, with every problem found in it, in order of file and line."""

    def __init__(self, name: str, problems: Iterable[Problem]) -> None:
        self.problems: tuple[Problem, ...] = tuple(sorted(set(problems)))
        first = self.problems[0]
        count = len(self.problems)
        if count == 1:
            super().__init__(f"{first.what}.", where=first.where, todo=f"{first.todo}." if first.todo else "")
        else:
            super().__init__(
                f"{count} mistakes in this route.", where=name, todo="Correct them; nothing was read from it."
            )

    def __str__(self) -> str:
        return "\n".join(str(problem) for problem in self.problems)


def spell(at: KeyPath) -> str:
    """A path as a person writes it, counted from 1: `("station", 1, "name")` is `station[2].name`."""
    told = ""
    for step in at:
        if isinstance(step, int):
            told += f"[{step + 1}]"
        else:
            told += f".{step}" if told else step
    return told


def placed(mistakes: Iterable[Mistake], lines: Mapping[KeyPath, int], file: str) -> list[Problem]:
    """The mistakes with the line of their key, or of the nearest table around it; the top of the file is line 1."""
    return [
        Problem(file, _line_of(mistake.at, lines), spell(mistake.at), mistake.what, mistake.todo)
        for mistake in mistakes
    ]


def _line_of(at: KeyPath, lines: Mapping[KeyPath, int]) -> int:
    for length in range(len(at), 0, -1):
        if at[:length] in lines:
            return lines[at[:length]]
    return 1
