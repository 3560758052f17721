"""Outlines of tunnels, to put anchors on: upright walls under an arch, a circle with a floor, a rectangle.

Lengths in the route's large unit; `across` from the middle, `up` from the floor one stands on.
"""

from __future__ import annotations

from math import cos, pi, sin, sqrt

from msgspec import Struct

KINDS = {
    "arched": "upright walls under an arch",
    "circle": "a circle with a floor in it",
    "flat": "upright walls under a flat roof",
}
Place = tuple[float, float]


class Outline(Struct, frozen=True):
    """`wall` is the height where an arch begins; of a circle, how far its middle is above the floor."""

    kind: str
    width: float
    height: float
    wall: float

    @classmethod
    def arched(cls, width: float, height: float) -> Outline:
        """A half circle on upright walls; a flatter arch where the height does not allow for one."""
        return cls("arched", width, height, max(height - width / 2, 0.3 * height))

    @classmethod
    def circle(cls, diameter: float, height: float) -> Outline:
        return cls("circle", diameter, height, height - diameter / 2)

    @classmethod
    def flat(cls, width: float, height: float) -> Outline:
        return cls("flat", width, height, height)

    @property
    def crown(self) -> Place:
        return 0.0, self.height

    def wall_at(self, up: float) -> Place:
        """The right wall at a height; of an arch or circle above or below its middle, where it is at that height."""
        half = self.width / 2
        if self.kind == "circle":
            return sqrt(max(half**2 - (up - self.wall) ** 2, 0.0)), up
        if self.kind == "arched" and up > self.wall:
            return half * sqrt(max(1 - ((up - self.wall) / (self.height - self.wall)) ** 2, 0.0)), up
        return half, up

    def haunch(self, share: float = 0.5) -> Place:
        """The right side of the roof, so far of the way from wall to crown."""
        if self.kind == "flat":
            return self.width / 2, 0.85 * self.height
        rise = self.height - self.wall
        turn = share * pi / 2
        return self.width / 2 * cos(turn), self.wall + rise * sin(turn)
