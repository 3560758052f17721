"""What must hold in a route beyond the shape of its tables.

    rules.py              the whole: zone, at least one of each, frequency
    instrument_rules.py   tapes, extensometers, control frames
    level_rules.py        trigger levels and what chords say of them
    station_rules.py      stations, anchors, chords
    plant_rules.py        what stands in the section

Each rule looks at the draft and yields mistakes; a value that is None was refused or is missing and has been told.
Only where every rule is silent is a `Route` made.
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Iterator, Sequence
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError, available_timezones

from fieldtui.route.draft import Draft, FrequencyDraft, RouteDraft
from fieldtui.route.instrument_rules import instrument_mistakes
from fieldtui.route.level_rules import level_mistakes
from fieldtui.route.plant_rules import plant_mistakes
from fieldtui.route.problem import KeyPath, Mistake
from fieldtui.route.station_rules import station_mistakes

NOTHING_WITHOUT = {
    "tape": "there is no tape",
    "extensometer": "there is no extensometer",
    "station": "there is no station",
}


def mistakes_in(draft: RouteDraft, told: frozenset[KeyPath]) -> list[Mistake]:
    """Everything that does not hold; `told` are places already spoken of."""
    found = [*_missing_parts(draft, told), *_zone(draft), *_frequencies(draft.frequency, told)]
    found += instrument_mistakes(draft)
    found += level_mistakes(draft, told)
    found += station_mistakes(draft, told)
    found += plant_mistakes(draft)
    found += _doubled_names(draft)
    return found


def _missing_parts(draft: RouteDraft, told: frozenset[KeyPath]) -> Iterator[Mistake]:
    for key, what in NOTHING_WITHOUT.items():
        if not getattr(draft, key) and (key,) not in told:
            yield Mistake((key,), what, f"describe at least one under [[{key}]]")


def _zone(draft: RouteDraft) -> Iterator[Mistake]:
    if draft.time_zone is not None and not zone_exists(draft.time_zone):
        near = difflib.get_close_matches(draft.time_zone, available_timezones(), n=1)
        todo = f'perhaps "{near[0]}" is meant' if near else 'write an IANA name, such as "Etc/UTC"'
        yield Mistake(("time_zone",), f'"{draft.time_zone}" is no time zone', todo)


def zone_exists(name: str) -> bool:
    """Whether the IANA time zone data at hand know that name."""
    try:
        ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        return False
    return True


def _frequencies(frequencies: Sequence[FrequencyDraft], told: frozenset[KeyPath]) -> Iterator[Mistake]:
    for place, one in enumerate(frequencies):
        at: KeyPath = ("frequency", place)
        if at in told:
            continue
        given = {key for key in ("within", "rate_above") if key in one.model_fields_set or (*at, key) in told}
        if len(given) == 2:
            todo = "keep one of them here and put the other into a [[frequency]] of its own"
            yield Mistake(at, "has both within and rate_above", todo)
        elif not given:
            todo = "add within = … (widths from the face) or rate_above = … (a day)"
            yield Mistake(at, "does not say when it applies", todo)


def _doubled_names(draft: RouteDraft) -> Iterator[Mistake]:
    yield from doubled(("face",), draft.face, "name", "face")
    yield from doubled(("tape",), draft.tape, "serial", "tape")
    yield from doubled(("extensometer",), draft.extensometer, "serial", "extensometer")
    yield from doubled(("control",), draft.control, "name", "control frame")
    yield from doubled(("level",), draft.level, "name", "level")
    yield from doubled(("care",), draft.care, "what", "care")
    yield from doubled(("station",), draft.station, "name", "station")
    for place, station in enumerate(draft.station):
        yield from doubled(("station", place, "anchor"), station.anchor, "name", "anchor of this station")


def doubled(at: KeyPath, ones: Iterable[Draft], key: str, what: str) -> Iterator[Mistake]:
    """The second and every further one that bears a name already given."""
    seen: dict[str, int] = {}
    for place, one in enumerate(ones):
        name = getattr(one, key)
        if name is None:
            continue
        if name in seen:
            said = f'"{name}" is already the {key} of {what} {seen[name] + 1}'
            yield Mistake((*at, place, key), said, "give each its own")
        seen.setdefault(name, place)
