"""What will be missing on site: tapes too short, anchors out of reach, plant in the way, a frame that proves little.

Told before a hole is drilled, by `lay`, and of a file written by hand, by `check`.
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from fieldtui.route.model import Anchor, Chord, Plant, Route, Station, Tape
from fieldtui.route.problem import KeyPath, Mistake

Ends = tuple[Decimal, Decimal]
"""The shortest and the longest length that can be read, large units."""
SHORT_FRAME = Decimal("0.25")
"""A frame shorter than this share of the longest chord shows too little of an error that grows with length, such as
one of temperature, tension or a stretched tape [this program's own choice]."""


def site_advice(route: Route) -> Iterator[Mistake]:
    """Words about every chord, anchor and frame that will not do on site as it is planned."""
    yield from _frames(route)
    scale = route.units.small_per_large
    ends = shortest_reading(route) / scale, longest_reading(route) / scale
    for place, station in enumerate(route.stations):
        if station.closed:
            continue
        at: KeyPath = ("station", place)
        for chord_place, chord in enumerate(station.chords):
            yield from _tape(route, station, chord, (*at, "chord", chord_place), ends)
            yield from _plant(route, station, chord, (*at, "chord", chord_place))
        yield from _reach(route, station, at)


def anchor_distance(station: Station, chord: Chord) -> Decimal:
    """The distance of a chord's anchors by their coordinates, large units."""
    one, other = station.anchor(chord.hook), station.anchor(chord.far)
    return ((one.across - other.across) ** 2 + (one.up - other.up) ** 2).sqrt()


def longest_reading(route: Route) -> Decimal:
    """The longest length that any tape with any extensometer of the route can show, small units."""
    dials = [one.dial_range[1] if one.dial == "adds" else -one.dial_range[0] for one in route.extensometers]
    return max(_last_distance(tape) for tape in route.tapes) + max(dials)


def shortest_reading(route: Route) -> Decimal:
    """The shortest length that any tape with any extensometer of the route can show, small units."""
    dials = [one.dial_range[0] if one.dial == "adds" else -one.dial_range[1] for one in route.extensometers]
    return min(tape.hole_distance(_first_hole(tape)) for tape in route.tapes) + min(dials)


def _first_hole(tape: Tape) -> int:
    return min(tape.table) if tape.table is not None else tape.first_hole


def _last_distance(tape: Tape) -> Decimal:
    return tape.hole_distance(max(tape.table) if tape.table is not None else tape.last_hole)


def _length(station: Station, chord: Chord) -> Decimal:
    return chord.length if chord.length is not None else anchor_distance(station, chord)


def _frames(route: Route) -> Iterator[Mistake]:
    small, longest = route.units.small, longest_reading(route)
    chords = [_length(station, chord) * route.units.small_per_large for station, chord in route.walk()]
    chord = max(chords, default=Decimal(0))
    for place, frame in enumerate(route.controls):
        at: KeyPath = ("control", place, "length")
        if frame.length > longest:
            what = f"is {frame.length} {small}, beyond every tape ({longest} {small})"
            yield Mistake(at, what, "look at the unit; frames are given as tapes are")
        if frame.length < SHORT_FRAME * chord:
            what = f"is {frame.length} {small}, much shorter than the longest chord ({chord:.0f} {small})"
            yield Mistake(at, what, "an error that grows with length hardly shows in it; set up a longer frame")


def _tape(route: Route, station: Station, chord: Chord, at: KeyPath, ends: Ends) -> Iterator[Mistake]:
    large, length = route.units.large, _length(station, chord)
    shortest, longest = ends
    if length > longest:
        what = f"is {length:.2f} {large} long, beyond every tape of this route ({longest:.2f} {large})"
        yield Mistake(at, what, "name a longer tape or another chord")
    elif length < shortest:
        what = f"is {length:.2f} {large} long, shorter than any tape of this route can read ({shortest:.2f} {large})"
        yield Mistake(at, what, "name another chord, or a tape that is punched nearer to its hook")


def _plant(route: Route, station: Station, chord: Chord, at: KeyPath) -> Iterator[Mistake]:
    one, other = station.anchor(chord.hook), station.anchor(chord.far)
    for plant in route.plant:
        if (not plant.stations or station.name in plant.stations) and crosses(one, other, plant):
            what = f"({chord.name}) crosses where {plant.what} will stand"
            yield Mistake(at, what, "move an anchor, choose another chord, or plan to clear it for every survey")


def crosses(one: Anchor, other: Anchor, plant: Plant) -> bool:
    """Whether the line between two anchors runs through the inside of a rectangle; to touch its edge is not to cross.

    The part of the line that is within, as shares of its length, cut down by one side after the other (Liang and
    Barsky 1984, ACM Transactions on Graphics 3(1)).
    """
    enters, leaves = Decimal(0), Decimal(1)
    for start, step, low, high in (
        (one.across, other.across - one.across, plant.left, plant.right),
        (one.up, other.up - one.up, plant.bottom, plant.top),
    ):
        if step == 0:
            if not low < start < high:
                return False
            continue
        first, last = sorted(((low - start) / step, (high - start) / step))
        enters, leaves = max(enters, first), min(leaves, last)
    return enters < leaves


def _reach(route: Route, station: Station, at: KeyPath) -> Iterator[Mistake]:
    """Anchors that need a platform; `up` is taken to count from the floor one stands on (*common practice*)."""
    for place, anchor in enumerate(station.anchors):
        if route.reach is not None and anchor.up > route.reach:
            what = f"is {anchor.up} {route.units.large} up, beyond reach and pole ({route.reach} {route.units.large})"
            yield Mistake((*at, "anchor", place, "up"), what, "plan a platform and fall protection, or a longer pole")
