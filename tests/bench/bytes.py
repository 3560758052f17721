"""Bytes that the walk sends to its terminal: for a key, and while nobody types. For SSH over a poor line.

    python -m tests.bench.bytes [--idle 30]

The real program in a pseudo-terminal, at the first chord of a route with five surveys behind it.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from statistics import median

sys.path.insert(0, str(Path(__file__).parents[1]))

from harness.jobs import lay, with_past
from harness.terminal import Terminal
from tests.bench.figure import Figure

START = "1\nAB\n\n1\n1\n\n\n0.00\n"
CHORDS = (("320", "12.34", "12.36", "12.31", "9.5"), ("240", "12.34", "12.36", "12.31", "9.5"))
SIZES = ((60, 20), (80, 24), (200, 60))
KEYS = {"+": "the list of actions", "?": "help"}


def sent(terminal: Terminal, keys: str) -> int:
    """Bytes that came for keys, once the screen has stood still for a while."""
    before = last = terminal.bytes_out
    terminal.type(keys)
    since = time.monotonic()
    while time.monotonic() - since < 0.4:
        terminal.pump(0.05)
        if terminal.bytes_out != last:
            last, since = terminal.bytes_out, time.monotonic()
    return last - before


@dataclass(frozen=True)
class Sent:
    """Bytes in one size of window."""

    digits: list[int]
    enters: list[int]
    accepts: list[int]
    opened: list[int]
    idle: int


def measured(columns: int, rows: int, idle_seconds: float) -> Sent:
    """Two chords booked and accepted, the list and the help opened, then nobody types."""
    digits: list[int] = []
    enters: list[int] = []
    accepts: list[int] = []
    opened: list[int] = []
    with tempfile.TemporaryDirectory() as folder:
        route = with_past(lay(Path(folder)))
        with Terminal("walk", str(route), columns=columns, lines=rows) as terminal:
            terminal.wait_for("start a new survey")
            sent(terminal, START)
            terminal.pump(0.5)
            sent(terminal, "\n")  # the caution is read: Enter twice at once does not pass it
            for chord in CHORDS:
                for figure in chord:
                    digits += [sent(terminal, character) for character in figure]
                    enters.append(sent(terminal, "\n"))
                accepts.append(sent(terminal, "\n"))
                if chord is CHORDS[0]:
                    opened = [sent(terminal, key) + 0 * sent(terminal, "0\n") for key in KEYS]
            before = terminal.bytes_out
            terminal.pump(idle_seconds)
            return Sent(digits, enters, accepts, opened, terminal.bytes_out - before)


def figures(quick: bool) -> Iterator[Figure]:
    """At 80 x 24; while nobody types nothing may be sent."""
    columns, rows = SIZES[1]
    found = measured(columns, rows, 3.0 if quick else 30.0)
    at = f"at {columns} x {rows}"
    yield Figure(f"bytes for a digit, median, {at}", median(found.digits))
    yield Figure(f"bytes for an Enter that books, median, {at}", median(found.enters))
    yield Figure(f"bytes while nobody types, {at}", found.idle, 0)


def lines(idle_seconds: float) -> Iterator[str]:
    """A row of the table for each size of window."""
    yield "| window | a digit, median (most) | an Enter that books | an Enter that accepts | list | help | idle |"
    yield "|---|---|---|---|---|---|---|"
    for columns, rows in SIZES:
        found = measured(columns, rows, idle_seconds)
        digits, enters, opened = found.digits, found.enters, found.opened
        yield (
            f"| {columns} x {rows} | {median(digits):.0f} ({max(digits)}) | {median(enters):.0f} ({max(enters)}) "
            f"| {max(found.accepts)} | {opened[0]} | {opened[1]} | {found.idle} in {idle_seconds:.0f} s |"
        )


if __name__ == "__main__":
    arguments = argparse.ArgumentParser(description=__doc__)
    arguments.add_argument("--idle", type=float, default=30.0)
    for line in lines(arguments.parse_args().idle):
        print(line, flush=True)
