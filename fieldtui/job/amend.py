"""Amendments of journals settled: which one counts for an entry, and where two say different things.

An amendment gives way to a later one that names it (`settles`), and to a later one of the same sitting. Of those left,
all that say the same are one. Where they differ none counts: both are shown, and the reading is in doubt, until a
further amendment names both.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from msgspec import Struct, field

from fieldtui.job.declared import Amendment
from fieldtui.survey import Place


class Settled(Struct, frozen=True):
    """`counting` in order of booking; `disputed` is an entry's place to the amendments that differ over it."""

    counting: tuple[Amendment, ...] = ()
    disputed: Mapping[Place, tuple[Amendment, ...]] = field(default_factory=dict)


def settle(amendments: Iterable[Amendment]) -> Settled:
    """Which amendments count, whatever order they are given in."""
    of_entry: dict[Place, list[Amendment]] = {}
    for one in sorted(amendments, key=lambda one: one.written.order):
        of_entry.setdefault(one.place, []).append(one)
    counting: list[Amendment] = []
    disputed: dict[Place, tuple[Amendment, ...]] = {}
    for place, several in of_entry.items():
        left = _standing(several)
        if len({one.typed for one in left}) == 1:
            counting.append(left[-1])
        else:
            disputed[place] = tuple(left or several)
    counting.sort(key=lambda one: one.written.order)
    return Settled(tuple(counting), disputed)


def _standing(several: list[Amendment]) -> list[Amendment]:
    """Those that no other one takes the place of."""
    given_way = {place for one in several for place in one.settles}
    last_of_log = {one.written.log: one for one in several}
    return [one for one in several if one.written.place not in given_way and last_of_log[one.written.log] is one]
