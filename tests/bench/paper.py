"""How long a long sheet takes: `python -m tests.bench.paper [rows]`, 15,000 unless told otherwise.

An invented route of 22 chords, read once a day; every reading moves a little, every survey has its dial zero and its
control frame. The sheet is booked, then booked again (which adds nothing).
"""

from __future__ import annotations

import csv
import gc
import io
import random
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from math import hypot
from pathlib import Path

from fieldtui.job import load_job, logs_folder
from fieldtui.paper.book import book_table
from fieldtui.paper.rows import OPTIONAL, REQUIRED
from fieldtui.paper.table import read_table
from fieldtui.places import shipped
from fieldtui.route import Chord, Route, Station, load_route
from tests.bench.figure import Figure, told

START = datetime(2020, 1, 1, 6, 0, tzinfo=UTC)


def rows(route: Route, count: int, seed: int = 1) -> Iterator[list[str]]:
    """So many rows of daily surveys, as a sheet has them."""
    chance = random.Random(seed)
    tape = route.tapes[0]
    chords = [(station.name, chord.name) for station, chord in route.walk()]
    holes = {(station.name, chord.name): _hole(route, station, chord) for station, chord in route.walk()}
    written, day = 0, 0
    while True:
        at = START + timedelta(days=day)
        label = f"{at:%Y-%m-%d}"
        places = [("", "zero"), ("", "frame"), *chords, ("", "frame")]
        for minute, (station, chord) in enumerate(places):
            if written == count:
                return
            moment = f"{at + timedelta(minutes=4 * minute):%Y-%m-%dT%H:%M:%SZ}"
            shown = 20 - 8 * day / (day + 60) + chance.gauss(0, 0.09)
            dials = [f"{shown + chance.gauss(0, 0.05):.2f}" for _ in range(3)]
            hole, temperature = str(holes.get((station, chord), 199)), f"{14 + chance.gauss(0, 0.5):.1f}"
            if chord == "frame":
                dials = [f"{18.1 + chance.gauss(0, 0.04):.2f}" for _ in range(3)]
            if chord == "zero":
                hole, dials, temperature = "", ["0.00", "", ""], ""
            yield [label, moment, station, chord, hole, *dials, temperature, tape.serial]
            written += 1
        day += 1


def _hole(route: Route, station: Station, chord: Chord) -> int:
    """The hole that leaves some 20 mm to the dial, by the anchors' coordinates."""
    here, there = station.anchor(chord.hook), station.anchor(chord.far)
    apart = 1000 * hypot(float(here.across - there.across), float(here.up - there.up))
    tape = route.tapes[0]
    return tape.first_hole + round((apart - 20 - float(tape.first_hole_distance)) / float(tape.pitch))


def sheet(route: Route, count: int) -> str:
    """The rows as CSV."""
    text = io.StringIO()
    writer = csv.writer(text)
    writer.writerow([*REQUIRED, "tape"])
    writer.writerows(rows(route, count))
    return text.getvalue()


def figures(quick: bool) -> Iterator[Figure]:
    yield from measured(1000 if quick else 15_000)


def measured(count: int) -> Iterator[Figure]:
    """A sheet booked twice, and what each part took."""
    gc.disable()  # as the command does
    source = shipped("demo") / "demo.toml"
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "demo.toml"
        path.write_bytes(source.read_bytes())
        route = load_route(path)
        text = sheet(route, count)
        for turn in ("first", "again"):
            clock, cpu = time.perf_counter(), time.process_time()
            job = load_job(route, logs_folder(route))
            loaded = time.perf_counter() - clock
            booked = book_table(job, read_table(text, "sheet.csv", REQUIRED, OPTIONAL))
            spent, used = time.perf_counter() - clock, time.process_time() - cpu
            counts = Counter(answer.done for answer in booked.answers)
            doubtful = sum(answer.judged.doubtful for answer in booked.answers)
            print(f"{turn}: {len(booked.answers)} rows, {len(booked.logs)} logs, {dict(counts)}, {doubtful} doubtful")
            print(f"       {spent:.1f} s ({used:.1f} s of one core), {loaded:.1f} s of it loading")
            yield Figure(f"a sheet of {count:,} rows booked, {turn}", spent, 20 * count / 15_000, "s")


if __name__ == "__main__":
    list(told(measured(int(sys.argv[1]) if len(sys.argv) > 1 else 15_000)))
