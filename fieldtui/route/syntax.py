"""TOML to plain Python values, numbers exactly as written; a slip of syntax is told with its line.

Not UTF-8, a key written twice, a bracket not closed: `tomllib` finds them, in the words of a parser. The usual ones
are put into the words of a person here.
"""

from __future__ import annotations

import re
import tomllib
from decimal import Decimal, InvalidOperation
from typing import Any

from fieldtui.route.problem import Problem, RouteRefused

_PLACE = re.compile(r"^(?P<what>.*?) \(at (?:line (?P<line>\d+), column (?P<column>\d+)|end of document)\)$", re.DOTALL)
_DECIMAL_COMMA = re.compile(r"=\s*[-+]?\d+,\d")

_SAID: tuple[tuple[str, str, str], ...] = (
    ("Cannot overwrite a value", "gives a key that was given before", "take one of the two out"),
    ("Cannot declare", "opens a table that was opened before", "take one of the two out, or write [[ ]] for a list"),
    ("Cannot mutate immutable", "adds to a table or list that is already closed", "write all of it in one place"),
    ("Expected '='", "has no equals sign after its key", "write key = value"),
    ("Invalid value", "has a value that cannot be read", "write text in quotation marks, numbers with a point"),
    ("Invalid statement", "cannot be read", "write key = value, a [table], or a remark behind #"),
    ("Invalid initial character for a key part", "begins with a sign that no key begins with", "write key = value"),
    ("Expected newline or end of document", "goes on after its value", "write one key on a line, numbers with a point"),
    ("Unclosed array", "has a list that is not closed", "put a comma between its parts, and close it with ]"),
    ("Unclosed inline table", "has a table that is not closed", "close it with } on the same line"),
    ("Unterminated string", "has a text that is not closed", "close it with a quotation mark"),
    ("Illegal character", "has a sign that is not allowed here", "close the text before the line ends"),
    ("Expected ']", "has a table name that is not closed", "close it with ] or ]]"),
    ("Unescaped '\\'", "has a \\ that begins nothing known", "write \\\\ for \\ inside \"…\", or use '…'"),
)


def parsed(text: str, name: str) -> dict[str, Any]:
    """The document's values; numbers are int or `Decimal`. Raises `RouteRefused` with the one mistake of syntax."""
    try:
        return tomllib.loads(text, parse_float=_exact)
    except tomllib.TOMLDecodeError as error:
        raise RouteRefused(name, [_problem(str(error), text, name)]) from error
    except RecursionError as error:
        raise RouteRefused(
            name, [Problem(name, 1, "", "has lists inside lists without end", "take them out")]
        ) from error
    except ValueError as error:
        what = "has a whole number of thousands of digits"
        raise RouteRefused(name, [Problem(name, 1, "", what, "shorten it")]) from error


def too_deep(name: str) -> RouteRefused:
    """The refusal of a text whose lists and tables go deeper than any reader follows."""
    return RouteRefused(name, [Problem(name, 1, "", "has lists inside lists without end", "take them out")])


def _exact(written: str) -> Decimal:
    try:
        return Decimal(written)
    except InvalidOperation:  # an exponent beyond all measure
        return Decimal("NaN")


def _problem(said: str, text: str, name: str) -> Problem:
    found = _PLACE.match(said)
    at_end = found is None or found["line"] is None
    lines = text.split("\n")
    line = len(text.rstrip().split("\n")) if at_end or found is None else int(found["line"])
    reason = found["what"] if found else said
    told = next(((what, todo) for begins, what, todo in _SAID if reason.startswith(begins)), None)
    what, todo = told or (f"is not TOML: {reason[:1].lower()}{reason[1:]}", "correct this line")
    if at_end:
        what, todo = "ends in the middle of a value", "close the list, table or text that was opened"
    if line <= len(lines) and _DECIMAL_COMMA.search(lines[line - 1]):
        what, todo = "has a number with a comma", "write decimals with a point"
    return Problem(name, line, "", what, todo)
