"""The tables as one workbook (Office Open XML), for whoever works with a spreadsheet.

    sheets ──► about: what the columns mean, and the rules; then one sheet for each table

Every text is written as a text, so that none is a formula, a link or markup. Times are in UTC, since a spreadsheet
knows no zones; the head of a column says so. A figure keeps every digit: one with more digits than a spreadsheet's
numbers have (15) is written as a text. Rows are written as they come (`constant_memory`), so a long job needs no more
memory than a short one. The date in the file is that of the last reading: same logs, same bytes.
"""

from __future__ import annotations

import zipfile
from collections.abc import Iterator, Mapping, Sequence
from contextlib import suppress
from datetime import UTC, date, datetime, time
from decimal import Decimal
from functools import cache
from io import BytesIO
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import xlsxwriter
from xlsxwriter.exceptions import FileCreateError

from fieldtui import __version__
from fieldtui.errors import FieldError
from fieldtui.handover.columns import Cell, Column, Sheet, ucum
from fieldtui.handover.package import SIGN_RULE
from fieldtui.handover.placing import placing
from fieldtui.handover.texts import RULE, unfit, visible
from fieldtui.progress import Progress, counted
from fieldtui.route import Route

LONGEST, MOST_ROWS = 32_767, 1_048_576
"""Letters in a cell and rows in a sheet (ECMA-376, as spreadsheets read it)."""
_FIRST_YEAR = 1901
"""Before it, spreadsheets do not agree on which day a number is."""
# `_x0041_` would be read as a letter, and `<r>` at the beginning as runs of formatted text
_UNFIT = unfit(r"|_(?=x[0-9A-Fa-f]{4}_)|^<(?=r>)")
_MARK = "fieldtui export"
_CORE, _CUSTOM = "docProps/core.xml", "docProps/custom.xml"


def save_workbook(path: Path, route: Route, sheets: Sequence[Sheet], made: datetime, progress: Progress) -> None:
    """Write the workbook. `made` is the date it bears. `FieldError` where it cannot be written, or cannot hold a text
    or all rows."""
    for sheet in sheets:
        if len(sheet.rows) >= MOST_ROWS:
            raise FieldError(
                f"A sheet takes {MOST_ROWS:,} rows, and {sheet.name} has {len(sheet.rows):,}; nothing was written.",
                where=str(path),
                todo="Use --to csv or --to parquet, or --since to leave earlier ones out.",
            )
    with placing(path, what_else) as new:
        new.write_bytes(_packed(route, sheets, made, progress, new.parent))


def _packed(route: Route, sheets: Sequence[Sheet], made: datetime, progress: Progress, work: Path) -> bytes:
    """The workbook. `work` is a folder for what is not packed yet. `OSError` where the disk does not take it."""
    packed = BytesIO()
    book = xlsxwriter.Workbook(packed, {"constant_memory": True, "tmpdir": str(work)})
    try:
        book.use_zip64()
        title = {"title": visible(route.name, _UNFIT), "comments": f"{_MARK}, version {__version__}", "created": made}
        book.set_properties(title)
        book.set_custom_property(_MARK, __version__)
        writer = _Writer(book, route)
        writer.about(sheets)
        for sheet in sheets:
            writer.table(sheet, progress)
        book.close()
    except FileCreateError as error:
        raise OSError(*getattr(error.args[0], "args", error.args)) from error
    finally:
        # of a workbook that was not finished its sheets are still open
        for page in book.worksheets():
            with suppress(OSError):
                page.row_data_fh.close()
    return packed.getvalue()


class _Writer:
    """Sheets of one workbook."""

    def __init__(self, book: Any, route: Route) -> None:
        self._book = book
        self._route = route
        self._head = book.add_format({"bold": True, "bottom": 1, "text_wrap": True, "valign": "top"})
        self._text = book.add_format({"num_format": "@"})
        self._time = book.add_format({"num_format": "yyyy-mm-dd hh:mm:ss"})
        self._date = book.add_format({"num_format": "yyyy-mm-dd"})
        self._figure = cache(lambda digits: book.add_format({"num_format": f"0.{'0' * digits}" if digits else "0"}))

    def about(self, sheets: Sequence[Sheet]) -> None:
        """What the workbook is, what holds for all of it, and what each column means."""
        page = self._book.add_worksheet("about")
        page.set_column(0, 0, 14)
        page.set_column(1, 1, 30)
        page.set_column(2, 2, 90)
        rows: list[tuple[str, ...]] = [
            ("route", visible(self._route.name, _UNFIT)),
            ("times", f"UTC. The route's time zone is {self._route.time_zone}."),
            ("signs", SIGN_RULE),
            ("uncertainty", "Columns that end in _u or begin with u_ are standard uncertainties (k = 1)."),
            ("levels", "Of the figures that the route states, not of the ground."),
            ("texts", RULE),
            (),
            ("sheet", "column", "what it says"),
            *((sheet.name, self._named(column), column.says) for sheet in sheets for column in _shown(sheet)),
        ]
        for row, texts in enumerate(rows):
            for column, text in enumerate(texts):
                page.write_string(row, column, text, self._head if texts[0] == "sheet" else None)

    def table(self, sheet: Sheet, progress: Progress) -> None:
        """One table: a row of heads that stays in sight, and the rows."""
        page = self._book.add_worksheet(sheet.name)
        columns = _shown(sheet)
        page.freeze_panes(1, 0)
        page.autofilter(0, 0, len(sheet.rows), len(columns) - 1)
        for place, column in enumerate(columns):
            page.set_column(place, place, {"datetime": 19, "string": 14}.get(column.kind, 11))
        page.set_row(0, 30)
        for place, column in enumerate(columns):
            page.write_string(0, place, self._named(column), self._head)
        for number, row in enumerate(counted(f"writing {sheet.name}", sheet.rows, progress), 1):
            for place, column in enumerate(columns):
                self._write(page, number, place, row.get(column.name), f"{sheet.name}, {_where(sheet, row)}")

    def _write(self, page: Any, row: int, column: int, value: Cell, where: str) -> None:
        if value is None:
            return
        if isinstance(value, bool):
            page.write_boolean(row, column, value)
        elif isinstance(value, datetime) and value.year >= _FIRST_YEAR:
            page.write_datetime(row, column, value.astimezone(UTC).replace(tzinfo=None), self._time)
        elif isinstance(value, date) and not isinstance(value, datetime) and value.year >= _FIRST_YEAR:
            page.write_datetime(row, column, datetime.combine(value, time()), self._date)
        elif isinstance(value, int | float | Decimal) and _fits(value):
            page.write_number(row, column, float(value), self._figure(_digits(value)))
        else:
            self._write_text(page, row, column, value, where)

    def _write_text(self, page: Any, row: int, column: int, value: Cell, where: str) -> None:
        text = visible(value.isoformat() if isinstance(value, date) else str(value), _UNFIT)
        if len(text) > LONGEST:
            raise FieldError(
                f"A text has {len(text):,} letters, and a cell takes {LONGEST:,}; nothing was written.",
                where=where,
                todo="Use --to csv.",
            )
        page.write_string(row, column, text, self._text)

    def _named(self, column: Column) -> str:
        unit = "UTC" if column.kind == "datetime" else ucum(column.unit, self._route.units)
        return f"{column.name} [{unit}]" if unit else column.name


def _shown(sheet: Sheet) -> list[Column]:
    """The columns of a table but that of the time zone: all times are in UTC."""
    return [column for column in sheet.columns if column.name != "time_zone"]


def _where(sheet: Sheet, row: Mapping[str, Cell]) -> str:
    return " ".join(f"{name} {row.get(name)}" for name in sheet.key)


def _fits(value: float | Decimal) -> bool:
    """Whether a spreadsheet's number gives back every digit."""
    exact = value if isinstance(value, Decimal) else Decimal(repr(value))
    return Decimal(f"{float(value):.15g}") == exact


def _digits(value: float | Decimal) -> int:
    """Digits behind the point, as it is written."""
    exponent = value.as_tuple().exponent if isinstance(value, Decimal) else Decimal(repr(value)).as_tuple().exponent
    return min(15, max(0, -exponent)) if isinstance(exponent, int) else 0


def what_else(path: Path) -> str:
    """What a file is, if it is not a workbook as this program left it; else nothing.

    A spreadsheet program that saves it writes a new date of change into it.
    """
    try:
        with zipfile.ZipFile(path) as parts:
            dates = {
                _plain(tag): text for tag, text in _elements(parts, _CORE) if _plain(tag) in ("created", "modified")
            }
            ours = any(_MARK in parts.read(name).decode() for name in parts.namelist() if name == _CUSTOM)
    except (OSError, KeyError, UnicodeDecodeError, zipfile.BadZipFile, ElementTree.ParseError):
        return "This is there already and was not made by an export"
    if not ours:
        return "This is there already and was not made by an export"
    return "" if dates.get("created") == dates.get("modified") else "Somebody has changed what an earlier export wrote"


def _elements(parts: zipfile.ZipFile, name: str) -> Iterator[tuple[str, str | None]]:
    return ((element.tag, element.text) for element in ElementTree.fromstring(parts.read(name)).iter())


def _plain(tag: str) -> str:
    return tag.rpartition("}")[2]
