"""The blank booking sheet: the walk in its order, to print or to fill.

Route ── blank_rows ──► zero, frame, every chord, frame, zero ──► blank_csv | page.blank_html
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator

from msgspec import Struct

from fieldtui.paper.cells import guarded
from fieldtui.paper.rows import OPTIONAL, REQUIRED
from fieldtui.route import Chord, Route, Station
from fieldtui.survey import FRAME, ZERO


class BlankRow(Struct, frozen=True):
    """One row to be filled. Without a station: the dial zero or the control frame."""

    chord: str
    station: Station | None = None
    planned: Chord | None = None


def blank_rows(route: Route) -> Iterator[BlankRow]:
    """What is to be read, in the order of the walk, the dial zero as often as the route states. Closed stations are
    left out.
    """
    yield BlankRow(ZERO)
    if route.controls:
        yield BlankRow(FRAME)
    walked: list[str] = []
    for station, chord in route.walk():
        if station.name not in walked:
            if walked and route.zero_check_every is not None and len(walked) % route.zero_check_every == 0:
                yield BlankRow(ZERO)
            walked.append(station.name)
        yield BlankRow(chord.name, station, chord)
    if route.zero_check_every is not None:
        yield BlankRow(ZERO)
    if route.controls:
        yield BlankRow(FRAME)


def blank_csv(route: Route) -> str:
    """The sheet as CSV: every column `book` knows, station and chord filled in, CRLF as RFC 4180 has it.

    Where the route has one tape or one extensometer its serial stands there already.
    """
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\r\n")
    columns = (*REQUIRED, *OPTIONAL)
    writer.writerow(columns)
    fixed = {
        "tape": route.tapes[0].serial if len(route.tapes) == 1 else "",
        "extensometer": route.extensometers[0].serial if len(route.extensometers) == 1 else "",
    }
    for row in blank_rows(route):
        cells = {**fixed, "station": row.station.name if row.station is not None else "", "chord": row.chord}
        writer.writerow([guarded(cells.get(column, "")) for column in columns])
    return text.getvalue()
