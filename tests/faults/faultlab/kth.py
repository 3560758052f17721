"""A whole job with one call failing: begin, book, go on elsewhere, end, take up again, close; then look.

Only a FieldError may come out of the log; anything else is a fault of the program.
"""

from __future__ import annotations

from collections.abc import Callable
from itertools import count
from pathlib import Path
from typing import Any

from faultlab.disk import PagedDisk
from faultlab.failing import FailingCalls, How
from faultlab.job import Sitting, lost
from fieldtui.errors import FieldError
from fieldtui.log import LogWriter, OsCalls, WriteFailed

WAITS = 3  # what the person at the keyboard tries before giving the day up


def every_k(
    place: Path, inner: OsCalls, code: int, how: How, for_ever: bool, *, cut: bool = False, step: int = 1
) -> int:
    """Run the job with call 1, 2, … failing until a run gets through untouched; gives the number of runs."""
    for runs, k in enumerate(count(1, step), 1):
        disk = PagedDisk() if cut else inner
        calls = FailingCalls(disk, k, code, how, for_ever=for_ever)
        run_with_kth_failing(place / str(k), calls, cut=cut)
        if calls.count < k:
            return runs
    raise AssertionError("unreachable")


def run_with_kth_failing(place: Path, calls: FailingCalls, *, cut: bool = False) -> None:
    """AssertionError where an acknowledged entry is lost or an error is no FieldError."""
    at = Sitting(place / "logs", calls, writer=LogWriter)
    _attempt(at, at.start)
    for _ in range(2):
        for act in (at.book, at.book, lambda: at.book_all(3)):
            if at.writer is not None:
                _attempt(at, act)
        _attempt(at, at.leave)
        _attempt(at, at.resume)
    if at.writer is not None:
        _attempt(at, lambda: at.book(kind="closed"))
    at.leave()
    if cut and isinstance(calls.inner, PagedDisk):
        calls.inner.power_cut(page_survives=lambda page: page % 3 == 0, size_grows=True, name_survives=False)
    calls.healthy = True
    assert lost(at) == [], f"call {calls.k} ({calls.made[calls.k - 1 : calls.k]}) failed"
    _book_again(at)
    assert lost(at) == []


def _attempt(at: Sitting, act: Callable[[], Any]) -> None:
    """Do it; where the log says that it was not saved, go on in a new file and do it again."""
    for _ in range(WAITS):
        try:
            act()
        except WriteFailed:
            if at.writer is None:
                return
            try:
                at.go_on()
            except FieldError:
                return
        except FieldError:
            return
        else:
            return


def _book_again(at: Sitting) -> None:
    """With a whole disk the job goes on: in the same log, or in a new one."""
    at.resume()
    if at.writer is None:
        at.start()
    at.book()
    at.leave()
