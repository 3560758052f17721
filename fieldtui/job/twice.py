"""One reading that stands in two surveys: a sheet booked again under another label, or a walk also booked from paper.

Both stay and both count, until one is struck out: nothing is corrected on its own. What is the same reading is told by
its figures, all of them, of one chord, within `WITHIN`: times on paper are rounded, and a clock may be an hour off.
Three dial readings to a hundredth do not come out alike by chance twice in a shift; a chord that is really read twice
a shift, or by two crews, has other ones.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from decimal import Decimal

from fieldtui.job.readings import Reading
from fieldtui.reduction.frame_proof import ONE_READING
from fieldtui.survey import Entry, number

WITHIN = ONE_READING
Values = frozenset[tuple[str, Decimal]]


def values(slots: Mapping[str, str]) -> Values:
    """Figures by slot as numbers, those that were not taken left out: 12,50 and 12.5 are the same figure.

    A hole that the walk asked for twice is one figure: paper has it once.
    """
    return frozenset((slot, number(typed)) for slot, typed in slots.items() if typed.strip() and slot != "hole_again")


def booked_values(slots: Mapping[str, Entry]) -> Values:
    """The figures of a booking."""
    return values({slot: entry.typed for slot, entry in slots.items()})


def same_reading(one: Reading, other: Reading) -> bool:
    """Whether two bookings of a chord in two surveys are one reading, as far as can be told."""
    if one.survey == other.survey or abs(one.time - other.time) > WITHIN:
        return False
    return booked_values(one.booking.slots) == booked_values(other.booking.slots)


class Twice:
    """Readings that stand in two surveys, as chords are added one by one."""

    def __init__(self) -> None:
        self._of_surveys: dict[tuple[str, str], list[Reading]] = {}

    def add(self, readings: Sequence[Reading]) -> None:
        """Look at one chord's readings, in order of time."""
        for first, second in _pairs(readings):
            one, other = sorted((first.label, second.label))  # read at one time, either may be the first
            self._of_surveys.setdefault((one, other), []).append(second)

    def told(self) -> Iterator[str]:
        """What has to be said of them, for each two surveys."""
        for (one, other), several in self._of_surveys.items():
            first = min(several, key=lambda one: one.order)
            many = f"{len(several)} readings stand" if len(several) > 1 else "a reading stands"
            yield (
                f"surveys {one} and {other}: {many} in both with the same figures, {' '.join(first.key)} of "
                f"{first.time:%Y-%m-%d %H:%M} UTC{' and others' if len(several) > 1 else ''}: what was read once "
                "counts twice. Strike one of the two out in the journal."
            )


def twice_told(chords: Iterable[Sequence[Reading]]) -> Iterator[str]:
    """What has to be said of readings that stand in two surveys; each chord's readings in order of time."""
    twice = Twice()
    for readings in chords:
        twice.add(readings)
    return twice.told()


def _pairs(readings: Sequence[Reading]) -> Iterator[tuple[Reading, Reading]]:
    """Each reading that stands in another survey before it, with the nearest such one."""
    for place, reading in enumerate(readings):
        for before in range(place - 1, -1, -1):
            if reading.time - readings[before].time > WITHIN:
                break
            if same_reading(readings[before], reading):
                yield readings[before], reading
                break
