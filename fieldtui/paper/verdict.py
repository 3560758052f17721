"""Where the verdict over a row comes from: can the figures be right, and if not, what do they look like.

    impossible    a figure that the instrument cannot show at all
    Weighing      one survey's rows, each weighed against what was known before it and the rows before it

The weighing itself is the reduction's (`reduction.misreading.judge`); here it is only given what there is.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime
from decimal import Decimal
from functools import lru_cache
from typing import Any

from fieldtui.paper.before import Before
from fieldtui.paper.tracks import CarriedKnown, Tracks
from fieldtui.reduction import Event, Evidence, Explanation, Known, Length, Other, Verdict, judge
from fieldtui.route import Chord, ChordKey, Extensometer, Route, Station, Tape
from fieldtui.survey import HOLES, Entry, EntryRefused, State, Target, check_figure, whole

_NOWHERE = datetime(1970, 1, 1, tzinfo=UTC)


def impossible(route: Route, tape: Tape, extensometer: Extensometer, slots: Mapping[str, str]) -> str:
    """Why a figure cannot be what the instrument showed, or an empty string. The same words as at the prompt."""
    state, target = _using(tape.serial, extensometer.serial), Target("", "")
    for slot, typed in slots.items():
        # a spreadsheet writes 320.0 for a hole, which at the prompt would be a dial in the wrong field
        figure = str(whole(typed)) if slot in HOLES else typed
        try:
            check_figure(route, state, target, slot, figure, optional=slot.startswith("dial"))
        except EntryRefused as refused:
            return refused.what
    return ""


@lru_cache(maxsize=16)
def _using(tape: str, extensometer: str) -> State:
    """A survey in which nothing is said but what is in use."""
    return State(
        said={"tape": Entry(tape, "", "", 0, _NOWHERE), "extensometer": Entry(extensometer, "", "", 0, _NOWHERE)}
    )


class Weighing:
    """One survey's rows as they go by, in order of their time."""

    def __init__(self, route: Route, survey: str, events: tuple[Event, ...], tracks: Tracks) -> None:
        self._route, self._survey, self._events, self._tracks = route, survey, events, tracks
        self._known: tuple[int, Known] | None = None
        self._others: dict[ChordKey, Other] = {}
        self._temperatures: list[Decimal] = []
        self._again: dict[ChordKey, list[Length]] = {}

    def weigh(
        self,
        station: Station,
        chord: Chord,
        length: Length,
        tape: Tape,
        extensometer: Extensometer,
        at: datetime,
        before: Before,
    ) -> Verdict:
        """The verdict over a reading, which is then among what the next one is weighed with."""
        key = (station.name, chord.name)
        others = tuple(other for other_key, other in self._others.items() if other_key != key)
        evidence = Evidence(others, tuple(self._temperatures), self._events, tuple(self._again.get(key, ())))
        known = self._known_before(at, before)
        verdict = judge(known, station, chord, length, tape, extensometer, at, evidence=evidence)
        self._again.setdefault(key, []).append(length)
        self._temperatures.append(length.figures.temperature)
        expected = verdict.expectation
        if expected is not None and expected.alone_spread:
            off = float(length.value) - expected.alone
            self._others.pop(key, None)
            self._others[key] = Other(key, length, at, off, expected.alone_spread, verdict.agrees)
        return verdict

    def _known_before(self, at: datetime, before: Before) -> Known:
        """What is known before a time: made once for as long as no reading of another survey comes in between."""
        count = before.count(at, self._survey)
        if self._known is None or self._known[0] != count:
            self._known = (count, CarriedKnown(self._route, before.ground(at, self._survey), self._tracks))
        return self._known[1]


def as_json(verdict: Verdict) -> list[dict[str, Any]]:
    """The explanations for a program: likeliest first, probabilities adding up to 1."""
    return [
        {
            "cause": one.cause,
            "detail": one.detail or None,
            "probability": one.probability,
            "length": None if one.length is None else round(float(one.length), 6),
        }
        for one in verdict.explanations
    ]


def in_words(verdict: Verdict) -> str:
    """What a reading that does not agree looks like, and what to look at."""
    first = verdict.explanations[0]
    looks = f"{first.cause} ({first.detail})" if first.detail else first.cause
    return f"does not agree, likeliest {looks}, {_percent(first)}; {verdict.look_at}"


def _percent(one: Explanation) -> str:
    return f"{min(99, round(100 * one.probability))} %"
