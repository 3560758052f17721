"""Ticks that a person can read: steps of 1, 2 and 5 for figures; hours, days, months and years for time."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import datetime, timedelta, tzinfo
from math import ceil, floor, log10

from msgspec import Struct

Tick = tuple[float, str]

_HOUR, _DAY = 3600.0, 86_400.0
_TIME_STEPS = (
    *((hours * _HOUR, "%H:%M", "%d %b %H:%M", "%x") for hours in (1, 2, 4, 6, 12)),
    *((days * _DAY, "%d %b", "%d %b %Y", "%Y") for days in (1, 2, 4, 7, 14)),
)
"""Step, its label, the label in full, and what of a time the full one is for: it stands where that is another."""
_MONTH_STEPS = (1, 2, 3, 6, 12, 24, 60, 120)


class Span(Struct, frozen=True):
    """A range of figures."""

    low: float
    high: float

    @property
    def size(self) -> float:
        return self.high - self.low

    def share(self, value: float) -> float:
        """Where a value is: 0 at the low end, 1 at the high end."""
        return (value - self.low) / self.size


def span_of(values: Sequence[float], least: float) -> Span:
    """The range of these values, a little wider, and no narrower than `least`."""
    low, high = min(values), max(values)
    wider = max((least - (high - low)) / 2, 0.04 * (high - low))
    return Span(low - wider, high + wider)


def nice_step(size: float, most: int) -> float:
    """The smallest step of 1, 2 or 5 times a power of ten that gives at most so many steps over `size`."""
    rough = size / max(most, 1)
    power = 10.0 ** floor(log10(rough))
    return next(step * power for step in (1, 2, 5, 10) if step * power >= rough * (1 - 1e-9))


def ticks(span: Span, most: int, *, sign: bool = False) -> list[Tick]:
    """Round figures within a range, with as many decimals as their step has."""
    step = nice_step(span.size, most)
    decimals = max(0, -floor(log10(step) + 1e-9))
    places = range(ceil(span.low / step - 1e-9), floor(span.high / step + 1e-9) + 1)
    # nil is without a sign
    return [(place * step, f"{place * step:{'+' if sign and place else ''}.{decimals}f}") for place in places]


def time_ticks(start: datetime, end: datetime, most: int, zone: tzinfo) -> list[Tick]:
    """Round times from start to end, as seconds since the start, in words of the zone."""
    length = (end - start).total_seconds()
    first = start.astimezone(zone)
    for step, form, full, of in _TIME_STEPS:
        if length / step <= most:
            return _labelled(_even(first, end, step), start, form, full, of)
    months = next((step for step in _MONTH_STEPS if length / (step * 30.4 * _DAY) <= most), _MONTH_STEPS[-1])
    forms = ("%Y", "%Y") if months >= 12 else ("%b", "%b %Y")
    return _labelled(_months(first, end, months), start, *forms, "%Y")


def _labelled(found: Iterable[datetime], start: datetime, form: str, full: str, of: str) -> list[Tick]:
    """The first of each year, or of each day, in full; the others without it."""
    made: list[Tick] = []
    before = ""
    for at in found:
        now = at.strftime(of)
        made.append(((at - start).total_seconds(), at.strftime(form if now == before else full)))
        before = now
    return made


def _even(first: datetime, end: datetime, step: float) -> Iterator[datetime]:
    """Times at whole steps since midnight of the first day."""
    at = first.replace(hour=0, minute=0, second=0, microsecond=0)
    while at <= end:
        if at >= first:
            yield at
        at += timedelta(seconds=step)


def _months(first: datetime, end: datetime, step: int) -> Iterator[datetime]:
    month = first.year * 12 + first.month - 1
    month -= month % step
    while True:
        at = first.replace(year=month // 12, month=month % 12 + 1, day=1, hour=0, minute=0, second=0, microsecond=0)
        if at > end:
            return
        if at >= first:
            yield at
        month += step
