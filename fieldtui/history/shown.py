"""What the command `history` says: a chord's readings in a table for a person, or one object a row for a program."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime, time
from decimal import Decimal
from typing import Any
from zoneinfo import ZoneInfo

import numpy as np
import pandas as pd

from fieldtui.errors import FieldError
from fieldtui.history.tables import Tables
from fieldtui.job.carried import CARRIED_BY
from fieldtui.job.earlier import instrument_words
from fieldtui.printable import printable
from fieldtui.reduction import show_change, show_length, show_u
from fieldtui.route import Route

_HEAD = ("time", "survey", "length", "since last", "+-", "since start", "+-", "a day", "+-", "level")
_KINDS = ("reading", "doubtful", "not read")


def chosen(found: Tables, route: Route, station: str = "", chord: str = "", since: str = "") -> Tables:
    """The part of a history that is asked for. `since` is a date or a time, in the route's zone unless it says so.

    `FieldError` for a station or chord that neither the route nor the history has, and for a date that is none.
    """
    line = frozenset(chord.split("-")) if chord else frozenset()
    start = _start(since, route) if since else None

    def part(table: pd.DataFrame, when: str = "time") -> pd.DataFrame:
        kept = np.ones(len(table), dtype=bool)
        if station:
            kept &= (table["station"] == station).to_numpy()
        if line:
            names = [name for name in table["chord"].cat.categories if frozenset(name.split("-")) == line]
            kept &= table["chord"].isin(names).to_numpy()
        if start is not None:
            kept &= (table[when] >= start).to_numpy()
        return table[kept].reset_index(drop=True)

    _refuse_unknown(found, route, station, line, chord)
    return Tables(part(found.readings), part(found.doubtful), part(found.not_read), part(found.segments, "last"))


def _start(since: str, route: Route) -> pd.Timestamp:
    try:
        at = datetime.fromisoformat(since)
        if len(since) <= 10:
            at = datetime.combine(date.fromisoformat(since), time())
    except ValueError as error:
        raise FieldError(f"{since} is no date.", where="--since", todo="Write it as 2031-05-04.") from error
    return pd.Timestamp(at if at.tzinfo is not None else at.replace(tzinfo=ZoneInfo(route.time_zone)))


def _refuse_unknown(found: Tables, route: Route, station: str, line: frozenset[str], chord: str) -> None:
    every = pd.concat([table[["station", "chord"]] for table in (found.readings, found.doubtful, found.not_read)])
    known = set(zip(every["station"], every["chord"], strict=True))
    known |= {(one.name, other.name) for one in route.stations for other in one.chords}
    if station and not any(name == station for name, _ in known):
        raise FieldError(f"There is no station {station}.", where="--station", todo=_named(name for name, _ in known))
    own = {name for one, name in known if not station or one == station}
    if line and not any(frozenset(name.split("-")) == line for name in own):
        raise FieldError(f"There is no chord {chord}.", where="--chord", todo=_named(own))


def _named(names: Any) -> str:
    return f"There are: {', '.join(sorted(set(names)))}."


def lines(found: Tables, route: Route) -> Iterator[str]:
    """Chord by chord in the order of the names; uncertainties expanded; what does not count apart, with its reason."""
    yield from map(printable, _lines(found, route))


def _lines(found: Tables, route: Route) -> Iterator[str]:
    places = pd.concat([table[["station", "chord"]] for table in _parts(found)]).drop_duplicates()
    order = {(one.name, other.name): n for n, (one, other) in enumerate(route.walk())}
    keys = sorted(zip(places["station"], places["chord"], strict=True), key=lambda key: (order.get(key, 10**9), key))
    if not keys:
        yield "Nothing was read."
    for number, (station, chord) in enumerate(keys):
        if number:
            yield ""
        framed = "; the control frame's change is taken off" if any(one.correct for one in route.controls[:1]) else ""
        head = f"({route.units.small}; negative is closing; +- with k = {route.coverage_factor}{framed})"
        yield f"{station} {chord}  {head}"
        own = [table[(table["station"] == station) & (table["chord"] == chord)] for table in _parts(found)]
        yield from _table(own[0], route)
        yield from (f"  {one}" for one in _marked(own[0], route))
        for title, table in zip(("Doubtful, not counted:", "Struck out or not read:"), own[1:], strict=True):
            if len(table):
                yield f"  {title}"
                yield from (f"    {one}" for one in _apart(table, route))
        changed = found.segments[
            (found.segments["station"] == station)
            & (found.segments["chord"] == chord)
            & (found.segments["carried"] != "")
        ]
        yield from (f"  {one}" for one in _joins(changed, route))


def _parts(found: Tables) -> tuple[pd.DataFrame, pd.DataFrame, pd.DataFrame]:
    return found.readings, found.doubtful, found.not_read


def _table(table: pd.DataFrame, route: Route) -> Iterator[str]:
    rows = [_HEAD, *(_cells(row, route) for row in table.to_dict("records"))]
    widths = [max(len(row[place]) for row in rows) for place in range(len(_HEAD))]
    for row in rows if len(rows) > 1 else []:
        cells = [
            cell.ljust(width) if place in (0, 1, len(_HEAD) - 1) else cell.rjust(width)
            for place, (cell, width) in enumerate(zip(row, widths, strict=True))
        ]
        yield f"  {'  '.join(cells)}".rstrip()


def _cells(row: dict[Any, Any], route: Route) -> tuple[str, ...]:
    figures = []
    for name in ("change", "since_baseline", "rate"):
        figures += [_signed(row[name], route), _expanded(row[f"{name}_u"], route)]
    level = "" if pd.isna(row["level"]) else str(row["level"])
    if not pd.isna(row["level_name"]):
        level = f"{level} {row['level_name']}"
    if row["survey_open"]:
        level = f"{level}  (survey still open)".strip()
    return (_local(row["time"], route), str(row["survey"]), _length(row["length"], route), *figures, level)


def _apart(table: pd.DataFrame, route: Route) -> Iterator[str]:
    for row in table.to_dict("records"):
        length = "" if pd.isna(row["length"]) else f"  {_length(row['length'], route)}"
        said = dict.fromkeys(str(row[name]) for name in ("doubt", "marks", "reason", "note") if row[name])
        yield f"{_local(row['time'], route)}  {row['survey']}{length}  {row['outcome']}: {'; '.join(said) or '-'}"


def _marked(table: pd.DataFrame, route: Route) -> Iterator[str]:
    """What is marked on readings that count, each mark once: how many carry it, and from when to when."""
    for mark, part in table[table["marks"] != ""].groupby("marks", sort=False):
        many = f"{len(part)} readings, " if len(part) > 1 else ""
        ends = dict.fromkeys(_local(at, route) for at in (part["time"].iloc[0], part["time"].iloc[-1]))
        yield f"Marked, {many}{' to '.join(ends)}: {mark}."


def _joins(segments: pd.DataFrame, route: Route) -> Iterator[str]:
    for row in segments.to_dict("records"):
        how = CARRIED_BY[row["carried"]]
        yield (
            f"From {_local(row['first'], route)} with {instrument_words(row['tape'], row['extensometer'])}: "
            f"{_signed(row['offset'], route)} +- {_expanded(row['offset_u'], route)} carried over, by {how}."
        )


def _length(value: float, route: Route) -> str:
    return show_length(Decimal(repr(float(value))), route.units)


def _signed(value: float, route: Route) -> str:
    return "" if np.isnan(value) else show_change(Decimal(repr(float(value))), route.units)


def _expanded(u: float, route: Route) -> str:
    return "" if np.isnan(u) else show_u(u * float(route.coverage_factor), route.units)


def _local(at: pd.Timestamp, route: Route) -> str:
    return str(at.tz_convert(route.time_zone).strftime("%Y-%m-%d %H:%M"))


def objects(found: Tables) -> Iterator[dict[str, Any]]:
    """One plain object a row, in order of time: `kind` is reading, doubtful or not read; what is not there is null."""
    parts = [table.assign(kind=kind) for kind, table in zip(_KINDS, _parts(found), strict=True) if len(table)]
    if not parts:
        return
    # categories of parts differ; as texts they go together
    together = pd.concat([part.astype(dict.fromkeys(_categories(part), object)) for part in parts])
    for row in together.sort_values("time", kind="stable").to_dict("records"):
        yield {str(name): _plain(value) for name, value in row.items()}


def _categories(table: pd.DataFrame) -> list[str]:
    return [name for name in table if isinstance(table[name].dtype, pd.CategoricalDtype)]


def _plain(value: Any) -> Any:
    if value is None or value is pd.NaT or value is pd.NA or (isinstance(value, float) and np.isnan(value)):
        return None
    if isinstance(value, pd.Timestamp):
        return value.isoformat(timespec="milliseconds").replace("+00:00", "Z")
    return value.item() if isinstance(value, np.generic) else value
