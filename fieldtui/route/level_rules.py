"""Rules for trigger levels: each has a figure, a response and people to tell, and they run from mild to severe."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal

from fieldtui.route.draft import LevelDraft, RouteDraft
from fieldtui.route.problem import KeyPath, Mistake

FIGURES = ("closing", "opening", "rate")


def level_mistakes(draft: RouteDraft, told: frozenset[KeyPath]) -> Iterator[Mistake]:
    """Mistakes in the route's levels and in those of its chords."""
    yield from _levels([(("level", place), level) for place, level in enumerate(draft.level)], told)
    known = [level.name for level in draft.level if level.name is not None]
    for station_place, station in enumerate(draft.station):
        for chord_place, chord in enumerate(station.chord):
            at: KeyPath = ("station", station_place, "chord", chord_place, "level")
            own = [((*at, place), one) for place, one in enumerate(chord.level or []) if isinstance(one, LevelDraft)]
            yield from _levels([(place, one) for place, one in own if place not in told], told)
            counting = [((*at, place), one) for place, one in enumerate(chord.level or []) if one is not None]
            yield from _named(counting, known)


def _levels(levels: Sequence[tuple[KeyPath, LevelDraft]], told: frozenset[KeyPath]) -> Iterator[Mistake]:
    reached: dict[str, tuple[Decimal, str]] = {}
    for at, level in levels:
        yield from _complete(at, level, told)
        for figure in FIGURES:
            value = getattr(level, figure)
            if value is None:
                continue
            if figure in reached and value < reached[figure][0]:
                milder, before = reached[figure]
                what = f"is {value}, below the {milder} of {before}, which stands before it"
                yield Mistake((*at, figure), what, "put the levels in order from mild to severe")
            reached[figure] = (value, f'level "{level.name}"' if level.name else "a level")


def _complete(at: KeyPath, level: LevelDraft, told: frozenset[KeyPath]) -> Iterator[Mistake]:
    if not level.response and (*at, "response") not in told:
        yield Mistake((*at, "response"), "is missing: a level without a response is refused", "say what is to be done")
    if not level.tell and (*at, "tell") not in told:
        todo = 'name the roles, such as tell = ["shift engineer"]'
        yield Mistake((*at, "tell"), "is missing: a level without people to tell is refused", todo)
    if not any(figure in level.model_fields_set or (*at, figure) in told for figure in FIGURES):
        yield Mistake(at, "has no figure", "add closing, opening or rate")


def _named(counting: Sequence[tuple[KeyPath, str | LevelDraft]], known: list[str]) -> Iterator[Mistake]:
    """A chord's levels by name: what is agreed for a level is found by it, so none stands for two."""
    seen: set[str] = set()
    for at, one in counting:
        if isinstance(one, str) and one not in known:
            todo = f"name one of {', '.join(known)}" if known else "describe it under [[level]]"
            yield Mistake(at, f'there is no level "{one}" in this route', todo)
        elif isinstance(one, str) and one in seen:
            yield Mistake(at, f'names level "{one}" a second time', "take it out")
        elif isinstance(one, LevelDraft) and one.name in seen:
            yield Mistake((*at, "name"), f'"{one.name}" is already a level of this chord', "give it a name of its own")
        name = one if isinstance(one, str) else one.name
        if name is not None:
            seen.add(name)
