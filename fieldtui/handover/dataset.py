"""The tables as Parquet, for archives and for whoever works with many jobs at once.

    sheets ──► readings/month=2031-05/part-0.parquet, one folder for each month (UTC) that has readings
          └──► chords.parquet, stations.parquet, …; datapackage.json says what the columns mean

Every table says of each row what route it is of and what its small unit is, so that datasets of many routes that lie
side by side are read as one. A column's unit and meaning stand in the Arrow schema as well. Needs pyarrow, which is an
extra of this program.
Parquet: https://parquet.apache.org/docs/; folders named by a column's value are the partitions of Hive and its heirs.
"""

from __future__ import annotations

import sys
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import UTC, datetime
from itertools import groupby
from pathlib import Path
from typing import Any

from msgspec.structs import replace

from fieldtui.errors import FieldError
from fieldtui.handover.columns import Cell, Column, Sheet, ucum
from fieldtui.handover.package import SIGN_RULE, describe, what_else
from fieldtui.handover.placing import placing
from fieldtui.handover.texts import RULE, visible
from fieldtui.progress import Progress, counted
from fieldtui.route import Route, Units

_FORM = {"format": "parquet", "mediatype": "application/vnd.apache.parquet"}
_BY_MONTH = "readings"
_NO_MONTH = "__HIVE_DEFAULT_PARTITION__"
_RULES = f"Times are in UTC; readings lie in folders by their month. {RULE} {SIGN_RULE}"
_OF_ROUTE = (
    Column("route", "string", "name of the route; with station and chord it tells a chord from all others"),
    Column("small_unit", "string", "unit of lengths and changes, mm or in; rates are this a day"),
)
Rows = Iterable[Mapping[str, Cell]]


def save_dataset(folder: Path, route: Route, sheets: Sequence[Sheet], progress: Progress) -> None:
    """Write the folder. `FieldError` where pyarrow is missing, something else is there, or it cannot be written."""
    _refuse_without_pyarrow()
    with placing(folder, what_else) as made:
        made.mkdir()
        files: dict[str, list[Path]] = {}
        named = [replace(sheet, columns=(*_OF_ROUTE, *sheet.columns)) for sheet in sheets]
        for sheet in named:
            rows = counted(f"writing {sheet.name}", sheet.rows, progress)
            parts = _months(rows) if sheet.name == _BY_MONTH else iter([(f"{sheet.name}.parquet", rows)])
            files[sheet.name] = [_write(made / name, sheet, part, route) for name, part in parts]
            if not files[sheet.name]:
                files[sheet.name] = [_write(made / _part(_NO_MONTH), sheet, (), route)]
        describe(made, route, named, files, _FORM, _RULES)


def _months(rows: Rows) -> Iterator[tuple[str, Rows]]:
    """The rows of each month; they come in order of time."""
    for month, part in groupby(rows, key=_month):
        yield _part(month), part


def _month(row: Mapping[str, Cell]) -> str:
    time = row["time"]
    assert isinstance(time, datetime), "every reading has a time"
    return f"{time.astimezone(UTC):%Y-%m}"


def _part(month: str) -> str:
    return f"{_BY_MONTH}/month={month}/part-0.parquet"


def _write(path: Path, sheet: Sheet, rows: Rows, route: Route) -> Path:
    import pyarrow as arrow
    import pyarrow.parquet as parquet

    of_route: dict[str, Cell] = {"route": route.name, "small_unit": route.units.small}
    cells: list[list[Any]] = [[] for _ in sheet.columns]
    for row in rows:
        for place, column in enumerate(sheet.columns):
            cells[place].append(_value(of_route.get(column.name, row.get(column.name)), column))
    schema = arrow.schema([_field(column, route.units) for column in sheet.columns])
    path.parent.mkdir(parents=True, exist_ok=True)
    parquet.write_table(arrow.table([*cells], schema=schema), path)
    return path


def _value(value: Cell, column: Column) -> Any:
    if value is None:
        return None
    if column.kind == "string":
        return visible(str(value))
    if column.kind == "number":
        return float(str(value))
    return int(str(value)) if column.kind == "integer" else value


def _field(column: Column, units: Units) -> Any:
    import pyarrow as arrow

    types = {
        "string": arrow.string(),
        "number": arrow.float64(),
        "integer": arrow.int64(),
        "boolean": arrow.bool_(),
        "datetime": arrow.timestamp("us", tz="UTC"),
        "date": arrow.date32(),
    }
    told = {"description": column.says, "unit": ucum(column.unit, units)}
    return arrow.field(column.name, types[column.kind], metadata={name: text for name, text in told.items() if text})


def _refuse_without_pyarrow() -> None:
    try:
        import pyarrow  # noqa: F401
    except ImportError as error:
        raise FieldError(
            "Parquet is written with pyarrow, which is not installed.",
            where="--to parquet",
            todo=f"Install it with: {sys.executable} -m pip install pyarrow",
        ) from error
