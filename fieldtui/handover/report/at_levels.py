"""What is above a level or near one, and who was told of it.

Scope ── levels, calls ──► AtLevel, CallLine: texts, what matters most first
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import datetime
from zoneinfo import ZoneInfo

from msgspec import Struct

from fieldtui.handover.report.scope import Scope
from fieldtui.handover.report.words import SHAPES, Words
from fieldtui.job import Call
from fieldtui.job.history import Row
from fieldtui.reduction import LevelState
from fieldtui.route import ChordKey, Level

NEAR = 0.8
"""A value with its uncertainty at this share of a level's figure is named as near it; ours, no rule of the trade."""


class Agreed(Struct, frozen=True):
    """What was agreed for a level: the response, and whom to tell."""

    level: str
    response: str
    tell: str


class AtLevel(Struct, frozen=True):
    """One figure of one level that a chord is above, cannot be told from, or is near."""

    place: str
    state: str
    shape: str
    level: str
    figure: str
    when: str
    remark: str
    agreed: Agreed | None
    """None for one that is only near its level."""


class CallLine(Struct, frozen=True):
    """One call: what opened it, who was told, who has still to be."""

    place: str
    opened: str
    level: str
    told: tuple[str, ...]
    untold: str
    of_now: bool
    """Whether the first page speaks of it."""


def agreed_of(found: Iterable[AtLevel]) -> tuple[Agreed, ...]:
    """What was agreed for the levels that were reached, each once."""
    return tuple(dict.fromkeys(one.agreed for one in found if one.agreed is not None))


class CallGroup(Struct, frozen=True):
    """Calls of one level of which the same people were told, and the same have still to be."""

    level: str
    places: tuple[str, ...]
    since: str
    told: tuple[str, ...]
    untold: str


def grouped(calls: Iterable[CallLine]) -> tuple[CallGroup, ...]:
    """In the order of the first call of each group; those of which nobody is left to be told last."""
    groups: dict[tuple[str, tuple[str, ...], str], list[CallLine]] = {}
    for one in calls:
        groups.setdefault((one.level, one.told, one.untold), []).append(one)
    made = [
        CallGroup(level, tuple(one.place for one in several), several[0].opened, told, untold)
        for (level, told, untold), several in groups.items()
    ]
    return tuple(sorted(made, key=lambda one: not one.untold))


def levels(scope: Scope, words: Words) -> Iterator[AtLevel]:
    """Severe first. The newest reading of a chord has its say even where it is doubtful: no doubt silences a level."""
    found: list[tuple[tuple[int, int, float], AtLevel]] = []
    for key, several in _newest(scope.job.history()).items():
        told: set[tuple[str, str]] = set()
        for row in several:
            for state in row.levels:
                word = _state(state)
                if word and (state.level, state.what) not in told:
                    told.add((state.level, state.what))
                    severity = [level.name for level in row.asked].index(state.level)
                    rank = ("above", "cannot tell", "near").index(word)
                    share = float(state.value) / float(state.limit) if state.limit else 0.0
                    found.append(((rank, -severity, -share), _at_level(key, row, state, word, words)))
    yield from (one for _, one in sorted(found, key=lambda pair: pair[0]))


def _newest(rows: Sequence[Row]) -> dict[ChordKey, list[Row]]:
    """Of each chord the newest reading, and before it, where that is doubtful, the newest that counts."""
    found: dict[ChordKey, list[Row]] = {}
    for row in reversed(rows):
        own = found.setdefault(row.key, [])
        if row.length is not None and (not own or (row.counts and not own[-1].counts)):
            own.append(row)
    return found


def _state(state: LevelState) -> str:
    if state.state != "below":
        return state.state
    return "near" if float(state.value) + state.expanded >= NEAR * float(state.limit) else ""


def _at_level(key: ChordKey, row: Row, state: LevelState, word: str, words: Words) -> AtLevel:
    level: Level = next(one for one in row.asked if one.name == state.level)
    remark = f"doubtful: {row.doubt}" if row.doubtful else ""
    agreed = Agreed(level.name, level.response, ", ".join(level.tell)) if word != "near" else None
    when, figure = words.time(row.booked.time), words.level(state)
    return AtLevel(" ".join(key), word, SHAPES[word], level.name, figure, when, remark, agreed)


def calls(scope: Scope, words: Words) -> Iterator[CallLine]:
    """Every call from the beginning; `of_now` are those that the first page speaks of.

    Of now is a call of which somebody has still to be told, one that the report's time or survey opened, and the newest
    one of a level that a chord is still above or cannot be told from.
    """
    known = [one for one in scope.job.calls if one.time <= scope.as_of]
    newest = {_figure(one): one for one in known}
    still = set(_still(scope.job.history()))
    begin = scope.since or scope.newest.started
    for one in known:
        goes_on = newest[_figure(one)] is one and _figure(one) in still
        yield _call(one, words, of_now=bool(one.untold) or goes_on or one.time >= begin)


def _figure(one: Call) -> tuple[str, str, str, str]:
    return (one.station, one.chord, one.level, one.what)


def _still(rows: Sequence[Row]) -> Iterator[tuple[str, str, str, str]]:
    """Figures of levels that a chord is above, or cannot be told from, by the readings that speak for it."""
    for key, several in _newest(rows).items():
        for row in several:
            yield from ((*key, state.level, state.what) for state in row.levels if state.state != "below")


def _call(one: Call, words: Words, *, of_now: bool) -> CallLine:
    told = tuple(
        f"{told.role}: {told.person}, {_told_at(told.told_at, words)}, {by_means(told.means)}"
        + (f", answered “{told.answer}”" if told.answer else "")
        for told in one.told
    )
    opened = f"{words.time(one.time)}, survey {one.label}"
    level = f"{one.state} {one.level}, {one.what}"
    return CallLine(f"{one.station} {one.chord}", opened, level, told, ", ".join(one.untold), of_now)


def _told_at(text: str, words: Words) -> str:
    try:
        at = datetime.fromisoformat(text)
    except ValueError:
        return text or "time not booked"
    return words.time(at if at.tzinfo is not None else at.replace(tzinfo=ZoneInfo(words.route.time_zone)))


def by_means(means: str) -> str:
    """How somebody was told, whether `radio` was typed or `by radio` chosen."""
    return means if means.partition(" ")[0] in ("by", "in", "on", "at") else f"by {means}"
