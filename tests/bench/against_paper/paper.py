"""The ten chords on paper: the sheet typed in at night and booked, and a spreadsheet with one tolerance for all."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping, Sequence
from datetime import timedelta
from decimal import Decimal
from pathlib import Path

from fieldtui.job import load_job, logs_folder
from fieldtui.paper.answer import as_json
from fieldtui.paper.book import book_table
from fieldtui.paper.rows import OPTIONAL, REQUIRED
from fieldtui.paper.table import read_table
from fieldtui.reduction import Figures, reduce
from fieldtui.route import load_route
from fieldtui.survey import Target
from tests.bench.against_paper.ground import TODAY, Read, Slip, Way

TOLERANCE_MM = 3.0
"""The fixed tolerance of the common tables (common practice)."""


def by_the_sheet(path: Path, today: Sequence[Read], slips: Mapping[Target, Slip]) -> Way:
    """Signs written in the tunnel and typed at night; booked with `book`, which says of every row what it means."""
    way = Way("the paper sheet, booked", when="hours later, at the desk")
    rows = []
    for place, right in enumerate(today):
        read = slips[right.target].wrong if right.target in slips else right
        time = f"{TODAY + timedelta(minutes=5 * place):%Y-%m-%d %H:%M}"
        written = (time[-5:], *read.figures)
        typed = ("night", time, *read.figures)
        way.keys += sum(map(len, written)) + sum(len(one) + 1 for one in typed)
        way.entries += len(written) + len(typed)
        rows.append(["night", time, read.target.station, read.target.chord, *read.figures])
    out = io.StringIO()
    csv.writer(out).writerows([REQUIRED, *rows])
    route = load_route(path)
    job = load_job(route, logs_folder(route))
    later = TODAY + timedelta(hours=8)
    booked = book_table(job, read_table(out.getvalue(), "night.csv", REQUIRED, OPTIONAL), clock=lambda: later)
    for right, answer in zip(today, (as_json(one, route) for one in booked.answers), strict=True):
        likely = [one["cause"] for one in answer["explanations"] if one["cause"] not in ("as booked", "real movement")]
        seen = not answer["agrees"] or answer["repeats_agree"] is False
        cause = likely[0] if likely and not answer["agrees"] else "one repeat"
        _count(way, slips.get(right.target), seen, cause)
    return way


def _count(way: Way, slip: Slip | None, seen: bool, cause: str) -> None:
    if slip is None:
        way.false += seen
    elif seen:
        way.caught += 1
        way.named += cause in slip.named


def by_a_spreadsheet(path: Path, today: Sequence[Read], slips: Mapping[Target, Slip]) -> Way:
    """The same signs written and typed; a change of more than the tolerance is coloured, with no word why."""
    way = Way(f"a spreadsheet, {TOLERANCE_MM:g} mm", when="hours later, at the desk")
    route = load_route(path)
    ground = load_job(route, logs_folder(route)).ground()
    for right in today:
        read = slips[right.target].wrong if right.target in slips else right
        written = ("00:00", *read.figures)
        way.keys += sum(map(len, written)) + sum(len(one) + 1 for one in written)
        way.entries += 2 * len(written)
        last = ground.chord(right.target.key).segments[-1].readings[-1].length
        figures = Figures(int(read.hole), tuple(map(Decimal, read.dials)), Decimal(read.temperature))
        tape, extensometer = route.tapes[0], route.extensometers[0]
        now = reduce(figures, tape, extensometer, route.uncertainty, reading=right.target).value
        _count(way, slips.get(right.target), abs(float(now - last.value)) > TOLERANCE_MM, "")
    return way
