"""Rules for what stands in the section: a rectangle the right way round, at stations that are there."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from fieldtui.route.draft import RouteDraft
from fieldtui.route.problem import KeyPath, Mistake


def plant_mistakes(draft: RouteDraft) -> Iterator[Mistake]:
    """Sides or ends that have changed places, and stations that the route does not have."""
    stations = {station.name for station in draft.station}
    for place, one in enumerate(draft.plant):
        at: KeyPath = ("plant", place)
        if one.left is not None and one.right is not None and one.left >= one.right:
            yield Mistake((*at, "right"), f"is {one.right}, not to the right of left ({one.left})", "exchange the two")
        bottom = one.bottom if one.bottom is not None else Decimal(0)
        if one.top is not None and one.top <= bottom:
            yield Mistake((*at, "top"), f"is {one.top}, not above bottom ({bottom})", "correct one of the two")
        for name in one.stations or ():
            if name not in stations and None not in stations:
                what = f'there is no station "{name}" in this route'
                yield Mistake((*at, "stations"), what, "correct the name, or leave the key out for every station")
