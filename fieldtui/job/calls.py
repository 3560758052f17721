"""Calls: a level was reached, and somebody has to be told. They follow from the records; only the telling is booked.

    rows in order of time ──► Seen ──► per level and figure: opened, going on, over ──► Call ◄── who was told

A reading at or over a level, or one that cannot be told from it, is named at once. The call opens when a second
reading of the survey says the same, or when one is accepted and the chord is not read again. It goes on through the
surveys until a reading that counts is below the level; over again is a new call. It is open until each role that the
level names has been told. No doubt keeps a call from opening.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from copy import copy
from datetime import datetime
from decimal import Decimal
from typing import Protocol

from msgspec import Struct
from msgspec.structs import replace

from fieldtui.job.history import Row
from fieldtui.job.journal import Journals
from fieldtui.job.names import Names
from fieldtui.job.survey import Survey
from fieldtui.reduction import LevelState
from fieldtui.route import ChordKey, Level
from fieldtui.survey import CallTold, EntryRefused, State, Target, clean_text


class Call(Struct, frozen=True):
    """One call. `value` and `limit` in small units (a day, for a rate), positive in the direction of the level."""

    station: str
    chord: str
    level: str
    what: str
    """`closing`, `opening` or `rate`."""
    state: str
    """`above` or `cannot tell`, at the reading that opened it."""
    value: Decimal
    limit: Decimal
    expanded: float
    survey: str
    """The id of the survey that opened it."""
    label: str
    time: datetime
    """Of the reading that opened it."""
    response: str
    tell: tuple[str, ...]
    told: tuple[CallTold, ...] = ()

    @property
    def untold(self) -> tuple[str, ...]:
        """Roles that nobody has been told for; the call is open while there are any."""
        roles = {one.role for one in self.told}
        return tuple(role for role in self.tell if role not in roles)


class Seen(Struct, frozen=True):
    """What a reading of a chord said of its levels."""

    key: ChordKey
    survey: str
    label: str
    time: datetime
    reading: int
    states: tuple[LevelState, ...]
    levels: tuple[Level, ...]
    counts: bool
    left: bool
    """Whether the survey has gone on from it; asked only of a reading that is not below every level."""


class Surveys(Protocol):
    """Ids of surveys: a set, or what holds them in less room."""

    def add(self, survey: str, /) -> None: ...

    def __contains__(self, survey: object, /) -> bool: ...


class _Episode(Struct):
    call: Call
    surveys: Surveys


def calls_of(seen: Iterable[Seen], told: Iterable[CallTold]) -> tuple[Call, ...]:
    """Every call, the oldest first, with who was told of it. `seen` in any order."""
    tellings = tuple(told)
    of_chord: dict[ChordKey, list[Seen]] = {}
    for one in sorted(seen, key=_order):
        of_chord.setdefault(one.key, []).append(one)
    chords = (ChordCalls().going_on(several) for several in of_chord.values())
    return oldest_first(call for chord in chords for call in chord.told(tellings))


def oldest_first(calls: Iterable[Call]) -> tuple[Call, ...]:
    """Calls of any chords in the order in which they are told."""
    return tuple(sorted(calls, key=lambda call: (call.time, call.station, call.chord, call.level, call.what)))


def seen_in(rows: Iterable[Row], surveys: Mapping[str, Survey]) -> Iterator[Seen]:
    """What the rows of a history said of their levels. `surveys` by their ids."""
    for row in rows:
        if row.levels:
            one = row.booked
            left = not is_below(row.levels) and has_left(surveys[one.survey].state, one.target)
            yield Seen(
                row.key, one.survey, one.label, one.time, one.target.reading, row.levels, row.asked, row.counts, left
            )


def is_below(states: Iterable[LevelState]) -> bool:
    """Whether nothing is at a level, or cannot be told from one."""
    return all(state.state == "below" for state in states)


def in_order(seen: Iterable[Seen]) -> list[Seen]:
    """One chord's, in the order in which they are taken."""
    return sorted(seen, key=_order)


def _order(one: Seen) -> tuple[datetime, str, int]:
    return (one.time, one.survey, one.reading)


def telling_data(call: Call, role: str, person: str, means: str, answer: str, told_at: str) -> dict[str, str]:
    """The data of a `call` record but for `by`. `EntryRefused` where it does not say who was told, or how."""
    said = {"role": clean_text(role), "person": clean_text(person), "means": clean_text(means)}
    missing = [what for what, text in said.items() if not text]
    if missing:
        raise EntryRefused(f"Who was told, and how? Not said: {', '.join(missing)}.", todo="Say it and try again.")
    about = {"station": call.station, "chord": call.chord, "level": call.level, "what": call.what}
    return {**about, "survey": call.survey, **said, "told_at": told_at, "answer": clean_text(answer)}


def has_left(state: State, target: Target) -> bool:
    """Whether a survey has gone on from a reading: it was accepted, or the survey closed, and it is not read again."""
    if state.closed:  # asked first: a survey of a year ago has its bookings in the index
        return True
    booking = state.bookings.get(target)
    if booking is None or booking.ended is None:
        return True
    if state.going is None or state.going.line != target.line:
        return True
    # it is being read again: left before that, if something else was booked in between
    later = [entry for one in state.bookings.values() if one.target.line != target.line for entry in one.slots.values()]
    later += [one.ended for one in state.bookings.values() if one.target.line != target.line and one.ended is not None]
    return any(entry.read_order > booking.ended.read_order for entry in later)


def tellings(surveys: Iterable[Survey], journals: Journals, names: Names) -> Iterator[CallTold]:
    """Everybody who was told, in surveys and between them; chords by their present names."""
    for survey in surveys:
        yield from renamed(survey.state.calls, names)
    yield from renamed(journals.calls, names)


def renamed(calls: Iterable[CallTold], names: Names) -> Iterator[CallTold]:
    """Tellings with the chord by its present name, whatever it was called when they were booked."""
    for one in calls:
        station, chord = names.chord((one.station, one.chord), one.entry.read_at)
        yield replace(one, station=station, chord=chord)


class ChordCalls:
    """One chord's calls, as what was seen of it is taken in order of time."""

    def __init__(self, surveys: Callable[[], Surveys] = set) -> None:
        self._surveys = surveys
        self._going: dict[tuple[str, str], _Episode] = {}
        self._over: list[_Episode] = []

    def take(self, several: Sequence[Seen], place: int) -> None:
        """The next one. Those after it are looked at for a second reading in the same survey."""
        one = several[place]
        for state in one.states:
            figure = (state.level, state.what)
            episode = self._going.get(figure)
            if state.state == "below":
                if episode is not None and one.counts:
                    self._over.append(self._going.pop(figure))
            elif episode is not None:
                episode.surveys.add(one.survey)
            elif _opens(several, place, state):
                self._going[figure] = _Episode(_call(one, state), self._surveys())
                self._going[figure].surveys.add(one.survey)

    def going_on(self, several: Sequence[Seen]) -> ChordCalls:
        """Those after these were taken as well; this one stays as it is."""
        after = ChordCalls(self._surveys)
        after._over = [*self._over]
        after._going = {figure: _Episode(one.call, copy(one.surveys)) for figure, one in self._going.items()}
        for place in range(len(several)):
            after.take(several, place)
        return after

    def told(self, told: Sequence[CallTold]) -> Iterator[Call]:
        """Each call with who was told of it."""
        for episode in (*self._over, *self._going.values()):
            yield _with_told(episode, told)


def _opens(several: Sequence[Seen], place: int, state: LevelState) -> bool:
    """A second reading that says the same, or none and the chord left. One that counts and is below takes it back."""
    one = several[place]
    second = [other for other in several[place + 1 :] if other.survey == one.survey]
    for other in second:
        again = next((s for s in other.states if (s.level, s.what) == (state.level, state.what)), None)
        if again is not None and again.state != "below":
            return True
        if again is not None and other.counts:
            return False
    return one.left


def _call(one: Seen, state: LevelState) -> Call:
    level = next((level for level in one.levels if level.name == state.level), None)
    return Call(
        *one.key,
        state.level,
        state.what,
        state.state,
        state.value,
        state.limit,
        state.expanded,
        one.survey,
        one.label,
        one.time,
        level.response if level is not None else "",
        level.tell if level is not None else (),
    )


def _with_told(episode: _Episode, told: Sequence[CallTold]) -> Call:
    call = episode.call
    wanted = (call.station, call.chord, call.level, call.what)
    own = [one for one in told if (one.station, one.chord, one.level, one.what) == wanted]
    return replace(call, told=tuple(one for one in own if one.survey in episode.surveys))
