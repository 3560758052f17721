"""A `Route` out of a draft in which everything has been found right."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from pathlib import Path
from types import MappingProxyType
from typing import TypeVar

from fieldtui.route.draft import (
    ChordDraft,
    ControlDraft,
    ExtensometerDraft,
    LevelDraft,
    PlantDraft,
    RouteDraft,
    StabilityDraft,
    StationDraft,
    TapeDraft,
)
from fieldtui.route.model import (
    Anchor,
    Care,
    Chord,
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
)
from fieldtui.route.units import SYSTEMS

_T = TypeVar("_T")

TIME_ZONE = "Etc/UTC"
COVERAGE_FACTOR = Decimal(2)
RATE_OVER_HOURS = Decimal(24)
BASELINE_SETS = 1


def build(
    draft: RouteDraft,
    tables: Sequence[Mapping[int, Decimal] | None],
    *,
    text: str,
    files: Mapping[str, str],
    path: Path | None,
) -> Route:
    """The route. `tables` are the calibration tables, one for each tape; `text` and `files` what it was read from."""
    levels = tuple(_level(level) for level in draft.level)
    uncertainty = _given(draft.uncertainty)
    return Route(
        name=_given(draft.name),
        units=SYSTEMS[_given(draft.units)],
        time_zone=draft.time_zone or TIME_ZONE,
        shift_start=draft.shift_start,
        coverage_factor=draft.coverage_factor or COVERAGE_FACTOR,
        rate_over_hours=draft.rate_over_hours or RATE_OVER_HOURS,
        baseline_sets=draft.baseline_sets or BASELINE_SETS,
        excavated_width=draft.excavated_width,
        zero_check_every=draft.zero_check_every,
        pole=draft.pole,
        standing_reach=draft.standing_reach,
        uncertainty=Uncertainty(
            _given(uncertainty.temperature), _given(uncertainty.reproducibility), _given(uncertainty.hole)
        ),
        faces=tuple(Face(_given(face.name), _given(face.advances)) for face in draft.face),
        tapes=tuple(_tape(tape, table) for tape, table in zip(draft.tape, tables, strict=True)),
        extensometers=tuple(_extensometer(one) for one in draft.extensometer),
        controls=tuple(_control(frame) for frame in draft.control),
        levels=levels,
        frequencies=tuple(Frequency(_given(one.every_hours), one.within, one.rate_above) for one in draft.frequency),
        stability=None if draft.stability is None else _stability(draft.stability),
        care=tuple(Care(_given(one.what), _given(one.every_days)) for one in draft.care),
        stations=tuple(_station(station, levels) for station in draft.station),
        text=text,
        files=MappingProxyType(dict(files)),
        path=path,
        same_instruments=tuple(draft.same_instruments or ()),
        plant=tuple(_plant(one) for one in draft.plant),
    )


def _given(value: _T | None) -> _T:
    """A value that the rules have made sure of."""
    if value is None:
        raise AssertionError("a route was built from a draft with mistakes")
    return value


def _stability(draft: StabilityDraft) -> Stability:
    return Stability(_given(draft.rate_below), _given(draft.share_of_end))


def _plant(draft: PlantDraft) -> Plant:
    floor = draft.bottom if draft.bottom is not None else Decimal(0)
    return Plant(
        _given(draft.what), _given(draft.left), _given(draft.right), floor, _given(draft.top), draft.stations or ()
    )


def _tape(draft: TapeDraft, table: Mapping[int, Decimal] | None) -> Tape:
    return Tape(
        serial=_given(draft.serial),
        pitch=_given(draft.pitch),
        first_hole=_given(draft.first_hole),
        first_hole_distance=_given(draft.first_hole_distance),
        holes=_given(draft.holes),
        expansion=_given(draft.expansion),
        expansion_uncertainty=_given(draft.expansion_uncertainty),
        reference_temperature=_given(draft.reference_temperature),
        calibration=draft.calibration,
        table=None if table is None else MappingProxyType(dict(table)),
        certificate_until=draft.certificate_until,
    )


def _extensometer(draft: ExtensometerDraft) -> Extensometer:
    return Extensometer(
        serial=_given(draft.serial),
        dial_serial=_given(draft.dial_serial),
        dial_range=_given(draft.dial_range),
        dial_resolution=_given(draft.dial_resolution),
        dial=_given(draft.dial),
        repeatability=_given(draft.repeatability),
        certificate_until=draft.certificate_until,
    )


def _control(draft: ControlDraft) -> Control:
    return Control(
        name=_given(draft.name),
        length=_given(draft.length),
        limit=_given(draft.limit),
        correct=draft.correct or False,
        expansion=_given(draft.expansion),
        reference_temperature=_given(draft.reference_temperature),
    )


def _level(draft: LevelDraft) -> Level:
    return Level(
        name=_given(draft.name),
        closing=draft.closing,
        opening=draft.opening,
        rate=draft.rate,
        response=_given(draft.response),
        tell=_given(draft.tell),
    )


def _station(draft: StationDraft, levels: tuple[Level, ...]) -> Station:
    return Station(
        name=_given(draft.name),
        chainage=_given(draft.chainage),
        face=draft.face,
        caution=draft.caution or "",
        closed=draft.closed or False,
        note=draft.note or "",
        anchors=tuple(
            Anchor(_given(one.name), _given(one.across), _given(one.up), one.kind, one.fixed) for one in draft.anchor
        ),
        chords=tuple(_chord(chord, levels) for chord in draft.chord),
    )


def _chord(draft: ChordDraft, levels: tuple[Level, ...]) -> Chord:
    """Levels from mild to severe: those named in the route's order, the chord's own where their figures put them."""
    if draft.level is None:
        counting = levels
    else:
        named = {one for one in draft.level if isinstance(one, str)}
        own = [_level(one) for one in draft.level if isinstance(one, LevelDraft)]
        counting = _in_order([level for level in levels if level.name in named], own)
    return Chord(hook=_given(draft.hook), far=_given(draft.far), length=draft.length, levels=counting)


def _in_order(named: Sequence[Level], own: Sequence[Level]) -> tuple[Level, ...]:
    """Each of the chord's own before the first that it is milder than; after all that it cannot be held against."""
    placed = list(named)
    for level in own:
        place = next((place for place, one in enumerate(placed) if _is_milder(level, one)), len(placed))
        placed.insert(place, level)
    return tuple(placed)


def _is_milder(level: Level, other: Level) -> bool:
    """By every kind of figure that both have."""
    pairs = ((level.closing, other.closing), (level.opening, other.opening), (level.rate, other.rate))
    both = [(mine, its) for mine, its in pairs if mine is not None and its is not None]
    return all(mine <= its for mine, its in both) and any(mine < its for mine, its in both)
