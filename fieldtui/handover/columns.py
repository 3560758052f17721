"""What a table holds, column by column: names, types, units, and how a value becomes a cell.

    Column, Sheet ──► CSV text            (cells of text cannot start a formula: `paper.cells`; none acts: `texts`)
                 └──► Table Schema        (Frictionless Table Schema: https://specs.frictionlessdata.io/table-schema/)

Units are UCUM codes (https://ucum.org): mm, mm/d, Cel, m; [in_i], [in_i]/d, [degF], [ft_i].
"""

from __future__ import annotations

import csv
from collections.abc import Mapping, Sequence
from datetime import date, datetime
from decimal import Decimal
from typing import Any, Literal, TextIO

from msgspec import Struct

from fieldtui.handover.texts import visible
from fieldtui.paper.cells import guarded
from fieldtui.progress import Progress, counted, silent
from fieldtui.route import Units

Kind = Literal["string", "number", "integer", "boolean", "datetime", "date"]
Unit = Literal["", "small", "large", "degree", "a day", "per degree"]
Cell = str | int | float | bool | Decimal | datetime | date | None

TIME_FORMAT = "%Y-%m-%dT%H:%M:%S.%f%z"
_FORMATS = {"datetime": TIME_FORMAT, "date": "default"}
_DEGREES = {"degC": "Cel", "degF": "[degF]"}


class Column(Struct, frozen=True):
    """One column of a table."""

    name: str
    kind: Kind
    says: str
    unit: Unit = ""


class Sheet(Struct, frozen=True):
    """One table: its columns, its rows, and the columns that name a row."""

    name: str
    says: str
    columns: tuple[Column, ...]
    rows: Sequence[Mapping[str, Cell]]
    key: tuple[str, ...] = ()


def write_csv(sheet: Sheet, file: TextIO, progress: Progress = silent) -> None:
    """The table as CSV: header, commas, CRLF, dot decimals, empty for what is not there (RFC 4180)."""
    writer = csv.writer(file, lineterminator="\r\n")
    writer.writerow([column.name for column in sheet.columns])
    for row in counted(f"writing {sheet.name}", sheet.rows, progress):
        writer.writerow([_cell(row.get(column.name), column.kind) for column in sheet.columns])


def as_schema(sheet: Sheet, units: Units) -> dict[str, Any]:
    """The Table Schema of a table."""
    schema: dict[str, Any] = {"fields": [_field(column, units) for column in sheet.columns], "missingValues": [""]}
    if sheet.key:
        schema["primaryKey"] = list(sheet.key)
    return schema


def figure(typed: str) -> Decimal | None:
    """A figure as it was typed, as a number: every digit kept, a decimal comma made a point."""
    text = typed.strip()
    return Decimal(text.replace(",", ".")) if text else None


def _cell(value: Cell, kind: Kind) -> str:
    if value is None:
        return ""
    if kind == "string":
        return guarded(visible(str(value)))
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, datetime):
        return value.isoformat(timespec="milliseconds")
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, Decimal):
        return f"{value:f}"
    return repr(value)


def ucum(unit: Unit, units: Units) -> str:
    """The UCUM code of a column's unit; empty for a column without one."""
    small, large = units.ucum
    degree = _DEGREES[units.degree]
    codes = {"small": small, "large": large, "degree": degree, "a day": f"{small}/d", "per degree": f"1/{degree}"}
    return codes[unit] if unit else ""


def _field(column: Column, units: Units) -> dict[str, Any]:
    field: dict[str, Any] = {"name": column.name, "type": column.kind, "description": column.says}
    if column.kind in _FORMATS:
        field["format"] = _FORMATS[column.kind]
    if column.unit:
        field["unit"] = ucum(column.unit, units)
    return field
