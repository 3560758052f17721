"""The first page: what whoever has to act needs to know, what matters most first.

Scope ── first_page ──► FirstPage: levels, calls, movement, what was not read, what is due; the proof stands in `proof`
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from msgspec import Struct

from fieldtui.handover.report.at_levels import Agreed, AtLevel, CallGroup, CallLine, agreed_of, calls, grouped, levels
from fieldtui.handover.report.remarks import not_read
from fieldtui.handover.report.scope import Scope
from fieldtui.handover.report.words import SHAPES, Words
from fieldtui.job.due import DueList, due_of
from fieldtui.job.due_told import due_sentence
from fieldtui.job.history import Row
from fieldtui.movement.glance import Glance, glance
from fieldtui.survey import missing
from fieldtui.survey.words import place

_NAMED = 4
"""Chords that one reason names."""


class Moved(Struct, frozen=True):
    """One chord as the newest reading that counts has it."""

    place: str
    since_last: str
    since_start: str
    rate: str
    word: str
    when: str


class FirstPage(Struct, frozen=True):
    """Texts, ready to be set. `quiet` tells of the chords that are not among `moved`."""

    levels: tuple[AtLevel, ...]
    every_call: tuple[CallLine, ...]
    moved: tuple[Moved, ...]
    quiet: str
    unread: tuple[str, ...]
    doubtful: tuple[str, ...]
    due: str
    due_lines: tuple[str, ...]
    survey: tuple[tuple[str, str], ...]
    chords: tuple[Moved, ...]
    """Every chord of the walk, what matters most first."""
    read: int
    """How many chords have a reading that counts, and of these how many it could be held against a level."""
    judged: int

    @property
    def above(self) -> tuple[str, ...]:
        """Chords that are above a level, severe first."""
        return tuple(dict.fromkeys(one.place for one in self.levels if one.state == "above"))

    @property
    def cannot_tell(self) -> tuple[str, ...]:
        """Chords that cannot be told from a level, and are above none."""
        found = dict.fromkeys(one.place for one in self.levels if one.state == "cannot tell")
        return tuple(place for place in found if place not in self.above)

    @property
    def calls(self) -> tuple[CallLine, ...]:
        """Calls of now."""
        return tuple(one for one in self.every_call if one.of_now)

    @property
    def agreed(self) -> tuple[Agreed, ...]:
        """What was agreed for the levels that are reached."""
        return agreed_of(self.levels)

    @property
    def call_groups(self) -> tuple[CallGroup, ...]:
        """Calls of now, those of the same kind together."""
        return grouped(self.calls)

    @property
    def untold(self) -> int:
        return sum(1 for one in self.calls if one.untold)


def first_page(scope: Scope, words: Words) -> FirstPage:
    """Everything of the first page but the instrument."""
    job = scope.job
    seen = glance(job, scope.as_of)
    rows = {row.key: row for row in job.history() if row.counts}
    every = tuple(_moved(one, rows.get(one.key), words) for one in seen)
    moves = [told for one, told in zip(seen, every, strict=True) if _moves(one, rows.get(one.key), words)]
    due = due_of(job, scope.as_of)
    return FirstPage(
        levels=tuple(levels(scope, words)),
        every_call=tuple(calls(scope, words)),
        moved=tuple(moves),
        quiet=_quiet(len(moves), sum(one.last is not None for one in seen), len(seen)),
        unread=tuple(_unread(scope, words)),
        doubtful=tuple(_doubtful(scope, words)),
        due=due_sentence(due),
        due_lines=tuple(_due(due, words)),
        survey=tuple(_survey(scope, words)),
        chords=every,
        read=len(rows),
        judged=sum(bool(row.levels) for row in rows.values()),
    )


def _moves(one: Glance, row: Row | None, words: Words) -> bool:
    """By its rate, or by its change since the reading before, beyond the uncertainty."""
    since = row.since_last if row is not None else None
    return one.speeding_up or one.moving or (since is not None and abs(float(since.value)) > words.k * since.u)


def _moved(one: Glance, row: Row | None, words: Words) -> Moved:
    name = " ".join(one.key)
    if row is None:
        return Moved(name, words.plus_minus(None), words.plus_minus(None), words.plus_minus(None), "never read", "")
    said = []
    if one.speeding_up:
        said.append("▲ speeding up")
    if one.moving and one.rate is not None:
        said.append("closing" if one.rate.value < 0 else "opening")
    if row.level is not None:
        level = f" {row.level.level}" if row.level.level else ""
        said.append(f"{SHAPES[row.level.state]} {row.level.state}{level}")
    if one.open:
        said.append("survey open")
    return Moved(
        name,
        words.plus_minus(row.since_last),
        words.plus_minus(row.since_baseline),
        words.plus_minus(row.rate),
        ", ".join(said),
        words.time(row.booked.time),
    )


def _quiet(moved: int, read: int, every: int) -> str:
    """What is to be said of the chords that are not among those that moved; of one that was never read, no movement
    is known."""
    if not read:
        told = "No chord was ever read."
    elif not moved:
        told = f"None of the chords that were read ({read}) moved by more than the uncertainty of its readings."
    elif moved == read:
        told = "Every chord that was read moved."
    else:
        told = f"The other {read - moved} of {read} chords that were read: no movement beyond the uncertainty."
    return f"{told} Never read: {every - read}." if 0 < read < every else told


def _unread(scope: Scope, words: Words) -> Iterator[str]:
    for row in scope.job.history():
        if scope.lists(row) and row.length is None and (scope.since or row.booked.survey == scope.newest.id):
            yield f"{row.station} {row.chord}: {not_read(row)} ({words.time(row.booked.time)})"
    survey = scope.newest
    lacking = missing(survey.route, survey.state)
    if lacking:
        state = "still open" if survey.open else "closed"
        names = ", ".join(place(target) for target in lacking)
        yield f"Not dealt with in survey {scope.job.labels[survey.id]}, which is {state}: {names}"


def _doubtful(scope: Scope, words: Words) -> Iterator[str]:
    """Each reason once: where the instrument is in doubt, every chord of a survey is."""
    found: dict[tuple[str, str], list[Row]] = {}
    for row in scope.job.history():
        if row.doubtful and scope.lists(row) and (scope.since or row.booked.survey == scope.newest.id):
            found.setdefault((row.booked.survey, row.doubt), []).append(row)
    for (_, doubt), rows in found.items():
        names = [f"{row.station} {row.chord}" for row in rows]
        more = f" and {len(names) - _NAMED} more" if len(names) > _NAMED else ""
        times = dict.fromkeys(words.time(row.booked.time) for row in (rows[0], rows[-1]))
        yield f"{', '.join(names[:_NAMED])}{more}, {' to '.join(times)}: doubtful, not counted: {doubt}"


def _due(told: DueList, words: Words) -> Iterator[str]:
    """Station by station: what is overdue or due by the end of the shift day; then what comes next."""
    planned = Counter(one.station for one in told.chords)
    for when, says in (("overdue", "Overdue"), ("today", "Due today")):
        of_station: dict[str, list[str]] = {}
        for one in told.to_read:
            if one.when == when:
                of_station.setdefault(one.station, []).append(one.chord)
        listed = [
            f"{station} {'all' if len(chords) == planned[station] > 1 else ', '.join(chords)}"
            for station, chords in of_station.items()
        ]
        if listed:
            yield f"{says}: {'; '.join(listed)}"
    coming = sorted((one.at, n, one) for n, one in enumerate(told.chords) if one.when == "later" and one.at is not None)
    then = "Next after that" if told.to_read else "Next"
    for at, _, first in coming[:1]:
        yield f"{then}: {first.station} {first.chord}, {words.time(at)} ({first.because})"
    without = [f"{one.station} {one.chord} ({one.because})" for one in told.chords if one.when == "no interval"]
    if without:
        yield f"Without an interval: {', '.join(without)}"


def _survey(scope: Scope, words: Words) -> Iterator[tuple[str, str]]:
    survey, state = scope.newest, scope.newest.state
    yield "survey", scope.job.labels[survey.id] + (" (still open)" if survey.open else "")
    yield "begun", words.time(survey.started)
    reader = state.answer("reader") or ""
    people = [reader, state.answer("recorder") or ""]
    yield "by", ", ".join(dict.fromkeys(one for one in people if one)) or "not said"
    for what in ("tape", "extensometer", "stage"):
        if state.answer(what):
            yield what, str(state.answer(what))
    for what, entry in state.said.items():
        if what.startswith("face ") and entry.typed:
            yield f"{what} at", f"{entry.typed} {words.route.units.large}"
