"""The bytes of a sheet to rows of cells, each with its line. Knows CSV and nothing of tunnels.

    bytes ── decoded ──► text ── read_table ──► Table: columns, lines of cells

A sheet is UTF-8, with or without a byte order mark; cells are separated by `,` or `;`, whichever the header uses, and
may be quoted. What cannot be read for certain is refused, with the line.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Collection, Iterator, Mapping
from pathlib import Path

from msgspec import Struct

from fieldtui.errors import FieldError
from fieldtui.paper.cells import unguarded
from fieldtui.printable import one_line, printable

_MOST, _LONGEST = 12, 40
"""Columns that are named in a refusal, and so many signs of each."""


class SheetRefused(FieldError):
    """A sheet that cannot be read as a whole; nothing of it was booked."""


class Line(Struct, frozen=True):
    """One row: the line of the file at which it begins, and what stands in its columns. `extra` had no column."""

    number: int
    cells: Mapping[str, str]
    extra: tuple[str, ...] = ()

    def __getitem__(self, column: str) -> str:
        """What stands in a column, without spaces around it; empty where the sheet has no such column."""
        return self.cells.get(column, "")


class Table(Struct, frozen=True):
    """A sheet as read. Rows without anything in them are left out."""

    name: str
    columns: tuple[str, ...]
    lines: tuple[Line, ...]


def read_sheet(path: Path, required: Collection[str], optional: Collection[str]) -> Table:
    """The table in a file. `SheetRefused` where it cannot be read, or its header is not what it should be."""
    try:
        content = path.read_bytes()
    except OSError as error:
        raise SheetRefused(
            f"The sheet cannot be read: {error.strerror or error}.", where=str(path), todo="Name another file."
        ) from error
    # the name is printed and booked: it may do nothing to a terminal, and must be text
    name = printable(path.name)
    return read_table(decoded(content, name), name, required, optional)


def decoded(content: bytes, name: str) -> str:
    """The text of a sheet. `SheetRefused` names the first line that is not UTF-8."""
    todo = "Save the sheet as “CSV UTF-8”."
    if content.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise SheetRefused("The sheet is UTF-16, not UTF-8.", where=f"{name}:1", todo=todo)
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        raise SheetRefused(
            f"Line {line} is not UTF-8: it holds the byte {content[error.start]:02X} where a letter should be.",
            where=f"{name}:{line}",
            todo=todo,
        ) from error
    if "\0" in text:
        line = text.count("\n", 0, text.index("\0")) + 1
        raise SheetRefused("A zero byte is no text.", where=f"{name}:{line}", todo=todo)
    return text


def read_table(text: str, name: str, required: Collection[str], optional: Collection[str]) -> Table:
    """The table in a text. `SheetRefused` where quotes do not close or the header is wrong."""
    rows = _rows(text, name)
    try:
        first, header = next(rows)
    except StopIteration:
        raise SheetRefused(
            "The sheet is empty.", where=name, todo=f"It begins with a header: {', '.join(required)}."
        ) from None
    columns = _columns(header, f"{name}:{first}", required, optional)
    return Table(name, columns, tuple(_line(number, cells, columns) for number, cells in rows))


def _rows(text: str, name: str) -> Iterator[tuple[int, list[str]]]:
    """Rows with something in them, each with its first line."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=_delimiter(text), strict=True)
    first = 1
    while True:
        try:
            cells = next(reader)
        except StopIteration:
            return
        except csv.Error as error:
            raise SheetRefused(
                f"The cells of this row cannot be told apart: {error}.",
                where=f"{name}:{first}",
                todo="Look for a quotation mark that opens and does not close.",
            ) from error
        if any(unguarded(cell).strip() for cell in cells):
            yield first, cells
        first = reader.line_num + 1


def _delimiter(text: str) -> str:
    """What separates cells, by the first line that has anything in it; neither stands in a column's name."""
    header = next((line for line in text.splitlines() if line.strip()), "")
    return ";" if header.count(";") > header.count(",") else ","


def _columns(header: list[str], where: str, required: Collection[str], optional: Collection[str]) -> tuple[str, ...]:
    columns = [cell.strip().lower() for cell in header]
    while columns and not columns[-1]:
        columns.pop()
    known = {*required, *optional}
    strange = [one_line(column)[:_LONGEST] for column in columns if column not in known]
    wrong = [f"“{column}” is not a column of this sheet" for column in dict.fromkeys(strange[:_MOST])]
    wrong += [f"and {len(strange) - _MOST} more are not"] if len(strange) > _MOST else []
    wrong += [f"“{column}” stands there twice" for column in sorted(known) if columns.count(column) > 1]
    wrong += [f"“{column}” is missing" for column in required if column not in columns]
    if wrong:
        raise SheetRefused(
            f"The header cannot be used: {'; '.join(wrong)}.",
            where=where,
            todo=f"Columns: {', '.join(required)}; and if wanted {', '.join(optional)}.",
        )
    return tuple(columns)


def _line(number: int, cells: list[str], columns: tuple[str, ...]) -> Line:
    taken = {column: unguarded(cell).strip() for column, cell in zip(columns, cells, strict=False)}
    return Line(number, taken, tuple(cell for cell in cells[len(columns) :] if cell.strip()))
