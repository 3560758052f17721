"""What is to be measured: stations, anchors, chords, tapes, extensometers, control frames, levels.

    read.py      load_route, parse_route       a TOML file to a Route, or all its mistakes with their lines
    checking.py  checked                       how: syntax, shape, rules, build
    checked_text.py                            a Route kept as it was made, to be had again without checking
    model.py     Route and all it is made of   frozen data, numbers as Decimal exactly as written
    units.py     SYSTEMS                       all that is said of each
    advice.py    advice                        what deserves a word and is not refused
    site.py      site_advice                   what is missing on site: reach, tape, plant, frame
    section.py   draw_section                  a station's section, drawn with the chord to be read
    check.py     check                         what the command `check` says

This room uses no other room.
"""

from __future__ import annotations

from fieldtui.route.model import (
    Anchor,
    Care,
    Chord,
    ChordKey,
    Control,
    Extensometer,
    Face,
    Frequency,
    Level,
    Plant,
    Route,
    Stability,
    Station,
    Tape,
    Uncertainty,
    line_of,
    turned,
)
from fieldtui.route.problem import Problem, RouteRefused
from fieldtui.route.read import load_route, parse_route, reads_the_same
from fieldtui.route.units import METRIC, SYSTEMS, US, Units

__all__ = [
    "METRIC",
    "SYSTEMS",
    "US",
    "Anchor",
    "Care",
    "Chord",
    "ChordKey",
    "Control",
    "Extensometer",
    "Face",
    "Frequency",
    "Level",
    "Plant",
    "Problem",
    "Route",
    "RouteRefused",
    "Stability",
    "Station",
    "Tape",
    "Uncertainty",
    "Units",
    "line_of",
    "load_route",
    "parse_route",
    "reads_the_same",
    "turned",
]
