"""The route file as it is typed: every table with its keys, before anything is known to be right.

A draft's value is None where the key is absent or was refused, so the rules can go on and find the other mistakes.
`needs` names the keys that a table cannot do without. The drafts never leave this room: `build.py` makes a `Route`
of one that has no mistakes.
"""

from __future__ import annotations

from typing import Literal

from fieldtui.route import leaf
from fieldtui.route.key import Draft, Key, NamesOrTables, OneTable, Tables
from fieldtui.route.units import SYSTEMS


class UncertaintyDraft(Draft):
    needs = ("temperature", "reproducibility", "hole")
    temperature = Key(leaf.not_negative)
    reproducibility = Key(leaf.not_negative)
    hole = Key(leaf.not_negative)


class FaceDraft(Draft):
    needs = ("name", "advances")
    name = Key(leaf.name)
    advances: Key[Literal["up", "down"]] = Key(leaf.one_of("up", "down"))


class TapeDraft(Draft):
    needs = (
        "serial",
        "pitch",
        "first_hole",
        "first_hole_distance",
        "holes",
        "expansion",
        "expansion_uncertainty",
        "reference_temperature",
    )
    serial = Key(leaf.name)
    pitch = Key(leaf.positive)
    first_hole = Key(leaf.hole_number)
    first_hole_distance = Key(leaf.not_negative)
    holes = Key(leaf.count)
    expansion = Key(leaf.number)
    expansion_uncertainty = Key(leaf.not_negative)
    reference_temperature = Key(leaf.number)
    calibration = Key(leaf.name)
    certificate_until = Key(leaf.day)


class ExtensometerDraft(Draft):
    needs = ("serial", "dial_serial", "dial_range", "dial_resolution", "dial", "repeatability")
    serial = Key(leaf.name)
    dial_serial = Key(leaf.name)
    dial_range = Key(leaf.number_pair)
    dial_resolution = Key(leaf.positive)
    dial: Key[Literal["adds", "subtracts"]] = Key(leaf.one_of("adds", "subtracts"))
    repeatability = Key(leaf.positive)
    certificate_until = Key(leaf.day)


class ControlDraft(Draft):
    needs = ("name", "length", "limit", "expansion", "reference_temperature")
    name = Key(leaf.name)
    length = Key(leaf.positive)
    limit = Key(leaf.positive)
    correct = Key(leaf.yes_no)
    expansion = Key(leaf.number)
    reference_temperature = Key(leaf.number)


class LevelDraft(Draft):
    needs = ("name",)  # response and people have a rule of their own, with its own words
    name = Key(leaf.name)
    closing = Key(leaf.positive)
    opening = Key(leaf.positive)
    rate = Key(leaf.positive)
    response = Key(leaf.prose)
    tell = Key(leaf.names)


class FrequencyDraft(Draft):
    needs = ("every_hours",)
    every_hours = Key(leaf.positive)
    within = Key(leaf.positive)
    rate_above = Key(leaf.not_negative)


class StabilityDraft(Draft):
    needs = ("rate_below", "share_of_end")
    rate_below = Key(leaf.positive)
    share_of_end = Key(leaf.share)


class CareDraft(Draft):
    needs = ("what", "every_days")
    what = Key(leaf.name)
    every_days = Key(leaf.count)


class PlantDraft(Draft):
    needs = ("what", "left", "right", "top")
    what = Key(leaf.name)
    left = Key(leaf.number)
    right = Key(leaf.number)
    bottom = Key(leaf.number)
    top = Key(leaf.number)
    stations = Key(leaf.names)


class AnchorDraft(Draft):
    needs = ("name", "across", "up")
    name = Key(leaf.name)
    across = Key(leaf.number)
    up = Key(leaf.number)
    kind: Key[Literal["grouted", "wedged", "welded"]] = Key(leaf.one_of("grouted", "wedged", "welded"))
    fixed: Key[Literal["both", "across", "up"]] = Key(leaf.one_of("both", "across", "up"))


class ChordDraft(Draft):
    needs = ("from", "to")
    hook = Key(leaf.name, "from")
    far = Key(leaf.name, "to")
    length = Key(leaf.positive)
    level = NamesOrTables(LevelDraft, leaf.name)


class StationDraft(Draft):
    needs = ("name", "chainage")
    name = Key(leaf.name)
    chainage = Key(leaf.number)
    face = Key(leaf.name)
    caution = Key(leaf.prose)
    closed = Key(leaf.yes_no)
    note = Key(leaf.prose)
    anchor = Tables(AnchorDraft)
    chord = Tables(ChordDraft)


class RouteDraft(Draft):
    needs = ("format", "name", "units", "uncertainty")
    format = Key(leaf.count)
    name = Key(leaf.name)
    units: Key[str] = Key(leaf.one_of(*SYSTEMS))
    time_zone = Key(leaf.name)
    shift_start = Key(leaf.clock)
    coverage_factor = Key(leaf.positive)
    rate_over_hours = Key(leaf.positive)
    baseline_sets = Key(leaf.count)
    excavated_width = Key(leaf.positive)
    zero_check_every = Key(leaf.count)
    same_instruments = Key(leaf.names)
    pole = Key(leaf.not_negative)
    standing_reach = Key(leaf.positive)
    uncertainty = OneTable(UncertaintyDraft)
    face = Tables(FaceDraft)
    tape = Tables(TapeDraft)
    extensometer = Tables(ExtensometerDraft)
    control = Tables(ControlDraft)
    level = Tables(LevelDraft)
    frequency = Tables(FrequencyDraft)
    stability = OneTable(StabilityDraft)
    care = Tables(CareDraft)
    plant = Tables(PlantDraft)
    station = Tables(StationDraft)
