"""A second reading of a chord in one survey that says what the first one said: nobody is sent for a third one."""

from __future__ import annotations

from fieldtui.job.live import assess_chord
from fieldtui.job.told import Told
from fieldtui.job.walk import Walk
from fieldtui.reduction import Length, change, movement_word, show_change, show_u
from fieldtui.survey import Target

_AGAIN = "read again"
"""What it begins with, where looking means reading again."""


def heed_second(walk: Walk, target: Target, length: Length | None, told: tuple[Told, ...]) -> tuple[Told, ...]:
    """What is said of a reading that does not agree; in the place of “read again”, that an earlier one says the same.

    The same: no further apart than the expanded uncertainty of their difference, read with one tape and extensometer.
    """
    asked = next((one for one in told if one.label == "look" and one.text.startswith(_AGAIN)), None)
    first = _earlier(walk, target)
    if asked is None or length is None or first is None:
        return told
    assessment = assess_chord(walk, first)
    before = assessment.length if assessment is not None else None
    if before is None or (before.tape, before.extensometer) != (length.tape, length.extensometer):
        return told
    apart = change(length, before)
    if movement_word(apart, walk.route.coverage_factor) != "within uncertainty":
        return told
    units, expanded = walk.route.units, float(walk.route.coverage_factor) * apart.u
    by = f"{show_change(apart.value, units)} ±{show_u(expanded, units)} {units.small}"
    said = Told("look", f"reading {first.reading} says the same, {by}: it can be kept for that reason", "notice")
    return tuple(said if one is asked else one for one in told)


def _earlier(walk: Walk, target: Target) -> Target | None:
    """The reading of the same chord before this one, that was read to its end."""
    readings = [one for one in walk.state.readings(target.key) if one.was_read and one.target.reading < target.reading]
    return readings[-1].target if readings else None
