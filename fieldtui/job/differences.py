"""Where the route of one survey differs from that of the survey before: a new thing, or a mistake?

It is asked and never guessed.

    corrected routes in order of time ──► Difference ── declared a new thing in between? ──► answered, or open

A mistake that was declared is corrected in both routes, and is no difference any more. A new thing that was declared
between the two surveys explains every difference of that thing.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from fieldtui.job.declared import NewThing, Thing
from fieldtui.job.route_values import READERS
from fieldtui.route import Route

ASKED = ("tape", "extensometer", "control", "anchor")
_SETTINGS = frozenset({("control", "limit")})
"""What may be changed at will: it says nothing of the thing itself."""


@dataclass(frozen=True, slots=True)
class Difference:
    """One figure of one thing that is not what it was."""

    thing: Thing
    key: str
    old: Any
    new: Any
    last_old: datetime
    """When the survey was read that had the old figure last."""
    first_new: datetime | None
    """When the survey was read that had the new one first; None where no survey has been yet."""

    @property
    def name(self) -> str:
        table, name, part = self.thing
        return f"{table} {name} {part}".rstrip()

    def __str__(self) -> str:
        return f"{self.name}: {self.key} was {shown(self.old)} and is {shown(self.new)}"


def differences(
    routes: Sequence[tuple[datetime, Route]], now: Route, new_things: Iterable[NewThing]
) -> tuple[Difference, ...]:
    """Open differences along the corrected routes of a job's surveys, in order of time, and to the route of now."""
    declared = tuple(new_things)
    found: list[Difference] = []
    steps = [(*before, *after) for before, after in itertools.pairwise(routes)]
    for last, before, first, after in steps:
        found += _open(before, after, last, first, declared)
    if routes:
        last, before = routes[-1]
        found += _open(before, now, last, None, declared)
    return tuple(found)


def _open(
    before: Route, after: Route, last: datetime, first: datetime | None, declared: Sequence[NewThing]
) -> Iterator[Difference]:
    if before is after:
        return
    for thing, key, old, new in compared(before, after):
        explained = any(
            one.thing == thing and last < one.since and (first is None or one.since <= first) for one in declared
        )
        if not explained:
            yield Difference(thing, key, old, new, last, first)


def compared(before: Route, after: Route) -> Iterator[tuple[Thing, str, Any, Any]]:
    """Every figure that differs between two routes, of things that are in both: thing, key, before, after."""
    old, new = things(before), things(after)
    for thing in sorted(old.keys() & new.keys()):
        for key in READERS[thing[0]]:
            one, other = getattr(old[thing], key), getattr(new[thing], key)
            if one != other and (thing[0], key) not in _SETTINGS:
                yield thing, key, one, other


def things(route: Route) -> dict[Thing, Any]:
    """Tapes, extensometers, control frames and anchors by what they are called."""
    found: dict[Thing, Any] = {("tape", tape.serial, ""): tape for tape in route.tapes}
    found |= {("extensometer", one.serial, ""): one for one in route.extensometers}
    found |= {("control", one.name, ""): one for one in route.controls}
    found |= {("anchor", station.name, anchor.name): anchor for station in route.stations for anchor in station.anchors}
    return found


def shown(value: Any) -> str:
    """A figure of the route in a sentence."""
    if value is None:
        return "not stated"
    if isinstance(value, tuple):
        return " to ".join(str(one) for one in value)
    return f"a table of {len(value)} holes" if hasattr(value, "keys") else str(value)
