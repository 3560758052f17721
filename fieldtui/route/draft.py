"""The route file as it is typed: every table with its keys, before anything is known to be right.

A draft's value is None where the key is absent or was refused, so the rules can go on and find the other mistakes.
`needs` names the keys that a table cannot do without. The drafts never leave this room: `build.py` makes a `Route`
of one that has no mistakes.
"""

from __future__ import annotations

from typing import Annotated, Any, ClassVar, Literal

from pydantic import BaseModel, ConfigDict, Discriminator, Field, PlainValidator, Tag

from fieldtui.route import leaf
from fieldtui.route.units import SYSTEMS

BRANCHES = _OWN, _NAMED = "<own>", "<named>"
"""What stands in a place of pydantic's for the kind of level that a chord names, right after its number."""


class Draft(BaseModel):
    """One table of the file."""

    model_config = ConfigDict(extra="forbid", frozen=True, strict=True)
    needs: ClassVar[tuple[str, ...]] = ()


class UncertaintyDraft(Draft):
    needs = ("temperature", "reproducibility", "hole")
    temperature: leaf.NotNegative = None
    reproducibility: leaf.NotNegative = None
    hole: leaf.NotNegative = None


class FaceDraft(Draft):
    needs = ("name", "advances")
    name: leaf.Name = None
    advances: Annotated[Literal["up", "down"] | None, PlainValidator(leaf.one_of("up", "down"))] = None


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
    serial: leaf.Name = None
    pitch: leaf.Positive = None
    first_hole: leaf.HoleNumber = None
    first_hole_distance: leaf.NotNegative = None
    holes: leaf.Count = None
    expansion: leaf.Number = None
    expansion_uncertainty: leaf.NotNegative = None
    reference_temperature: leaf.Number = None
    calibration: leaf.Name = None
    certificate_until: leaf.Day = None


class ExtensometerDraft(Draft):
    needs = ("serial", "dial_serial", "dial_range", "dial_resolution", "dial", "repeatability")
    serial: leaf.Name = None
    dial_serial: leaf.Name = None
    dial_range: leaf.NumberPair = None
    dial_resolution: leaf.Positive = None
    dial: Annotated[Literal["adds", "subtracts"] | None, PlainValidator(leaf.one_of("adds", "subtracts"))] = None
    repeatability: leaf.Positive = None
    certificate_until: leaf.Day = None


class ControlDraft(Draft):
    needs = ("name", "length", "limit", "expansion", "reference_temperature")
    name: leaf.Name = None
    length: leaf.Positive = None
    limit: leaf.Positive = None
    correct: leaf.YesNo = None
    expansion: leaf.Number = None
    reference_temperature: leaf.Number = None


class LevelDraft(Draft):
    needs = ("name",)  # response and people have a rule of their own, with its own words
    name: leaf.Name = None
    closing: leaf.Positive = None
    opening: leaf.Positive = None
    rate: leaf.Positive = None
    response: leaf.Prose = None
    tell: leaf.Names = None


class FrequencyDraft(Draft):
    needs = ("every_hours",)
    every_hours: leaf.Positive = None
    within: leaf.Positive = None
    rate_above: leaf.NotNegative = None


class StabilityDraft(Draft):
    needs = ("rate_below", "share_of_end")
    rate_below: leaf.Positive = None
    share_of_end: leaf.Share = None


class CareDraft(Draft):
    needs = ("what", "every_days")
    what: leaf.Name = None
    every_days: leaf.Count = None


class PlantDraft(Draft):
    needs = ("what", "left", "right", "top")
    what: leaf.Name = None
    left: leaf.Number = None
    right: leaf.Number = None
    bottom: leaf.Number = None
    top: leaf.Number = None
    stations: leaf.Names = None


class AnchorDraft(Draft):
    needs = ("name", "across", "up")
    name: leaf.Name = None
    across: leaf.Number = None
    up: leaf.Number = None
    kind: Annotated[
        Literal["grouted", "wedged", "welded"] | None,
        PlainValidator(leaf.one_of("grouted", "wedged", "welded")),
    ] = None
    fixed: Annotated[Literal["both", "across", "up"] | None, PlainValidator(leaf.one_of("both", "across", "up"))] = None


def _level_kind(value: Any) -> str:
    return _OWN if isinstance(value, dict | LevelDraft) else _NAMED


ChordLevel = Annotated[
    Annotated[LevelDraft, Tag(_OWN)] | Annotated[leaf.Name, Tag(_NAMED)],
    Discriminator(_level_kind),
]
"""A level of one chord: the name of a level of the route, or a table of its own."""


class ChordDraft(Draft):
    needs = ("from", "to")
    hook: leaf.Name = Field(default=None, alias="from")
    far: leaf.Name = Field(default=None, alias="to")
    length: leaf.Positive = None
    level: list[ChordLevel] | None = None


class StationDraft(Draft):
    needs = ("name", "chainage")
    name: leaf.Name = None
    chainage: leaf.Number = None
    face: leaf.Name = None
    caution: leaf.Prose = None
    closed: leaf.YesNo = None
    note: leaf.Prose = None
    anchor: list[AnchorDraft] = []
    chord: list[ChordDraft] = []


class RouteDraft(Draft):
    needs = ("format", "name", "units", "uncertainty")
    format: leaf.Count = None
    name: leaf.Name = None
    units: Annotated[str | None, PlainValidator(leaf.one_of(*SYSTEMS))] = None
    time_zone: leaf.Name = None
    shift_start: leaf.Clock = None
    coverage_factor: leaf.Positive = None
    rate_over_hours: leaf.Positive = None
    baseline_sets: leaf.Count = None
    excavated_width: leaf.Positive = None
    zero_check_every: leaf.Count = None
    same_instruments: leaf.Names = None
    pole: leaf.NotNegative = None
    standing_reach: leaf.Positive = None
    uncertainty: UncertaintyDraft | None = None
    face: list[FaceDraft] = []
    tape: list[TapeDraft] = []
    extensometer: list[ExtensometerDraft] = []
    control: list[ControlDraft] = []
    level: list[LevelDraft] = []
    frequency: list[FrequencyDraft] = []
    stability: StabilityDraft | None = None
    care: list[CareDraft] = []
    plant: list[PlantDraft] = []
    station: list[StationDraft] = []
