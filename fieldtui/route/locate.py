"""On which line a key of a TOML document stands; the standard parser does not say.

`lines_of(text)` gives a line for every table, key and list element:

    [[station]]            ("station",), ("station", 0)
    name = "A"             ("station", 0, "name")
    [[station.anchor]]     ("station", 0, "anchor"), ("station", 0, "anchor", 0)

The text must already have been accepted by `tomllib`: the scan only finds its way, it judges nothing. One pass, and
time in proportion to the text.
"""

from __future__ import annotations

import re
import tomllib

from fieldtui.route.problem import KeyPath

_BLANK = re.compile(r"[ \t]*")
_BETWEEN = re.compile(r"(?:[ \t\r\n]+|#[^\n]*)*")
_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")
_TEXT = re.compile(
    r'"""(?:[^"\\]|\\[\s\S]|"{1,2}(?!"))*"{3,5}'
    r"|'''(?:[^']|'{1,2}(?!'))*'{3,5}"
    r'|"(?:[^"\\\n]|\\.)*"'
    r"|'[^'\n]*'"
)
_OTHER_VALUE = re.compile(r"[^,\]}#\n]*")


def lines_of(text: str) -> dict[KeyPath, int]:
    """The line, counted from 1, of every table, key and list element. `text` must be valid TOML."""
    scan = _Scan(text)
    scan.document()
    return scan.lines


class _Scan:
    """One pass over one document."""

    def __init__(self, text: str) -> None:
        self.lines: dict[KeyPath, int] = {}
        self._text = text
        self._place = 0
        self._line = 1
        self._latest: dict[KeyPath, int] = {}
        """The newest element of each list of tables written with [[ ]]."""

    def document(self) -> None:
        table: KeyPath = ()
        while self._next():
            if self._text.startswith("[", self._place):
                table = self._header()
            else:
                self._pair(table)

    def _next(self) -> str:
        """Pass blanks, line ends and remarks; the sign that follows, or nothing at the end."""
        self._pass(_BETWEEN)
        return self._text[self._place : self._place + 1]

    def _pass(self, pattern: re.Pattern[str]) -> str:
        found = pattern.match(self._text, self._place)
        if found is None or not found[0]:
            return ""
        self._line += found[0].count("\n")
        self._place = found.end()
        return found[0]

    def _note(self, at: KeyPath) -> None:
        self.lines.setdefault(at, self._line)

    def _keys(self) -> list[str]:
        """A key, bare, quoted or dotted; the place is then just after it."""
        keys = []
        while True:
            self._pass(_BLANK)
            keys.append(self._pass(_BARE_KEY) or _plain(self._pass(_TEXT)))
            self._pass(_BLANK)
            if not self._text.startswith(".", self._place):
                return keys
            self._place += 1

    def _header(self) -> KeyPath:
        double = self._text.startswith("[[", self._place)
        self._place += 2 if double else 1
        keys = self._keys()
        self._place += 2 if double else 1
        at: KeyPath = ()
        for count, key in enumerate(keys, start=1):
            at = (*at, key)
            self._note(at)
            if double and count == len(keys):
                self._latest[at] = self._latest.get(at, -1) + 1
            if at in self._latest:
                at = (*at, self._latest[at])
                self._note(at)
        # a table that was first met inside the name of another stands where its own header is
        self.lines[at] = self._line
        return at

    def _pair(self, table: KeyPath) -> None:
        at = table
        for key in self._keys():
            at = (*at, key)
            self._note(at)
        self._place += 1  # the equals sign
        self._pass(_BLANK)
        self._value(at)

    def _value(self, at: KeyPath) -> None:
        sign = self._text[self._place : self._place + 1]
        if sign == "[":
            self._array(at)
        elif sign == "{":
            self._inline_table(at)
        elif not self._pass(_TEXT):
            self._pass(_OTHER_VALUE)

    def _array(self, at: KeyPath) -> None:
        self._place += 1
        count = 0
        while self._next() not in ("]", ""):
            self._note((*at, count))
            self._value((*at, count))
            count += 1
            if self._next() == ",":
                self._place += 1
        self._place += 1

    def _inline_table(self, at: KeyPath) -> None:
        self._place += 1
        while self._next() not in ("}", ""):
            self._pair(at)
            if self._next() == ",":
                self._place += 1
        self._place += 1


def _plain(quoted: str) -> str:
    """A quoted key without its quotation marks and escapes."""
    if "\\" in quoted and quoted.startswith('"'):
        return str(tomllib.loads(f"key = {quoted}")["key"])
    return quoted[1:-1]
