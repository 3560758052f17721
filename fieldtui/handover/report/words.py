"""Times and figures as a report says them: the route's zone and units, uncertainties expanded at its factor."""

from __future__ import annotations

from datetime import datetime
from decimal import Decimal
from typing import Protocol
from zoneinfo import ZoneInfo

from msgspec import Struct

from fieldtui.reduction import LevelState, show_change, show_length, show_u
from fieldtui.route import Route

SHAPES = {"above": "■", "cannot tell": "▲", "near": "△", "below": "○"}
"""A state is told by its word and by a shape, so that it is seen without colour."""
NONE = "–"


class Figured(Protocol):
    """A change or a rate."""

    @property
    def value(self) -> Decimal: ...

    @property
    def u(self) -> float: ...


class Words(Struct, frozen=True):
    """The route's own way of saying figures."""

    route: Route

    @property
    def zone(self) -> ZoneInfo:
        return ZoneInfo(self.route.time_zone)

    @property
    def k(self) -> float:
        return float(self.route.coverage_factor)

    @property
    def small(self) -> str:
        return self.route.units.small

    def time(self, at: datetime | None) -> str:
        """Day and minute."""
        return NONE if at is None else at.astimezone(self.zone).strftime("%Y-%m-%d %H:%M")

    def day(self, at: datetime) -> str:
        return at.astimezone(self.zone).strftime("%Y-%m-%d")

    def minute(self, at: datetime) -> str:
        return at.astimezone(self.zone).strftime("%H:%M")

    def length(self, value: Decimal) -> str:
        return show_length(value, self.route.units)

    def change(self, value: Decimal) -> str:
        return show_change(value, self.route.units)

    def expanded(self, u: float) -> str:
        return show_u(self.k * u, self.route.units)

    def plus_minus(self, figure: Figured | None) -> str:
        """`-4.47 ±0.38`, without its unit; a dash for what is not there."""
        return NONE if figure is None else f"{self.change(figure.value)} ±{self.expanded(figure.u)}"

    def level(self, one: LevelState) -> str:
        """`closing 15.56 ±0.29 mm, level at 15.0`."""
        day = "/d" if one.what == "rate" else ""
        value = show_length(one.value, self.route.units)
        own = show_u(one.expanded, self.route.units)
        what = "closing a day" if one.what == "rate" else one.what
        return f"{what} {value} ±{own} {self.small}{day}, level at {one.limit:f}"
