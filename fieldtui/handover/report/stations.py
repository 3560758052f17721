"""Every station with its chords: section, plots, readings, what was caught, segments.

Scope ── station_parts ──► StationPart, in the order of the walk, then chords that the route has no more
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime

from msgspec import Struct

from fieldtui.counted import counted
from fieldtui.handover.report.plots import Story, face_plot, points, time_plot
from fieldtui.handover.report.reading_rows import ReadingRow, level_word, reading_row
from fieldtui.handover.report.remarks import Shown, caught, doubted_on_screen, not_read, struck_out
from fieldtui.handover.report.scope import Scope
from fieldtui.handover.report.section import section_figure
from fieldtui.handover.report.svg import Figure
from fieldtui.handover.report.words import Words
from fieldtui.job.carried import CARRIED_BY
from fieldtui.job.earlier import instrument_words
from fieldtui.job.faces import Faces, faces_of
from fieldtui.job.history import Row
from fieldtui.job.marked import marked
from fieldtui.progress import Progress
from fieldtui.route import Chord, ChordKey, Station

_LETTERS = "abcdefghijklmnopqrstuvwxyz"


class ChordPart(Struct, frozen=True):
    """One chord. Texts are whole sentences; `budget` are the terms of the newest length's uncertainty."""

    anchor: str
    """What the page refers to it by."""
    name: str
    newest: str
    plots: tuple[Figure, ...]
    captions: tuple[str, ...]
    events: tuple[str, ...]
    rows: tuple[ReadingRow, ...]
    left_out: int
    """Readings that the table does not list, since it was asked for a part of them."""
    budget: str
    marked: tuple[str, ...]
    caught: tuple[str, ...]
    struck: tuple[str, ...]
    not_read: tuple[str, ...]
    segments: tuple[str, ...]
    levels: str
    frame: bool
    """Whether the control frame is taken off any of the lengths."""
    joined: bool
    """Whether it has more than one segment."""


class StationPart(Struct, frozen=True):
    """One station; `section` is None for one that the route has no more."""

    anchor: str
    name: str
    where: str
    caution: str
    note: str
    closed: bool
    section: Figure | None
    chords: tuple[ChordPart, ...]


class _Made(Struct, frozen=True):
    """What every part is made with."""

    scope: Scope
    words: Words
    faces: Faces
    shown: Shown
    rows: dict[ChordKey, list[Row]]
    still_open: frozenset[str]


def station_parts(scope: Scope, words: Words, progress: Progress) -> tuple[StationPart, ...]:
    """Everything is drawn here, which takes its time: `progress` is told after each station."""
    job = scope.job
    rows: dict[ChordKey, list[Row]] = {}
    for row in job.history():
        rows.setdefault(row.key, []).append(row)
    still_open = frozenset(survey.id for survey in job.counting if survey.open)
    made = _Made(scope, words, faces_of(job.route, job.counting), doubted_on_screen(scope), rows, still_open)
    there = {(station.name, chord.name) for station in job.route.stations for chord in station.chords}
    gone: dict[str, list[str]] = {}
    for key in sorted(key for key in rows if key not in there):
        gone.setdefault(key[0], []).append(key[1])
    names = list(dict.fromkeys([*(station.name for station in job.route.stations), *gone]))
    parts = []
    for place, name in enumerate(names):
        parts.append(_station(made, place, name, gone.get(name, [])))
        progress("stations drawn", place + 1, len(names))
    return tuple(parts)


def _station(made: _Made, place: int, name: str, gone: Sequence[str]) -> StationPart:
    station = made.scope.job.route.station(name)
    chords: list[tuple[str, Chord | None]] = [(chord.name, chord) for chord in station.chords] if station else []
    chords += [(chord, None) for chord in gone]
    parts = tuple(_chord(made, f"s{place}c{n}", (name, chord), own) for n, (chord, own) in enumerate(chords))
    if station is None:
        return StationPart(f"s{place}", name, "no longer in the route", "", "", False, None, parts)
    return StationPart(
        f"s{place}",
        name,
        _where(made, station),
        station.caution,
        station.note,
        station.closed,
        _section(made, station, f"s{place}-s"),
        parts,
    )


def _where(made: _Made, station: Station) -> str:
    large = made.words.route.units.large
    told = f"chainage {station.chainage:f} {large}"
    ahead = made.faces.distance(station, made.scope.as_of)
    if ahead is None:
        return told
    way = "beyond" if ahead >= 0 else "short of"
    return f"{told}, face {station.face} {abs(ahead):g} {large} {way} it"


def _section(made: _Made, station: Station, name: str) -> Figure:
    newest = {chord.name: _newest(made.rows.get((station.name, chord.name), [])) for chord in station.chords}
    movements = {chord: made.words.plus_minus(row.since_baseline) for chord, row in newest.items() if row is not None}
    states = {chord: row.level.state for chord, row in newest.items() if row is not None and row.level is not None}
    return section_figure(station, movements, states, made.words, name)


def _newest(rows: Sequence[Row]) -> Row | None:
    return next((row for row in reversed(rows) if row.counts), None)


def _chord(made: _Made, anchor: str, key: ChordKey, chord: Chord | None) -> ChordPart:
    words, every = made.words, made.rows.get(key, [])
    listed = [row for row in every if made.scope.lists(row)]
    read = [row for row in listed if row.length is not None]
    newest = _newest(every)
    events = _events(made, key)
    plots = tuple(_plots(made, _story(made, anchor, key, chord, events), key))
    return ChordPart(
        anchor=anchor,
        name=key[1],
        newest=_said(newest, words),
        plots=plots,
        captions=tuple(dict.fromkeys(one.caption for one in plots if one.caption)),
        events=tuple(f"{letter}: {words.day(at)} {what}" for at, letter, what in events),
        rows=tuple(reading_row(row, words, still_open=row.booked.survey in made.still_open) for row in read),
        left_out=sum(1 for row in every if row.length is not None) - len(read),
        budget=_budget(newest, words),
        marked=tuple(marked(listed, words.time)),
        caught=tuple(caught(listed, made.shown, words)),
        struck=tuple(struck_out(listed, words)),
        not_read=tuple(
            f"{words.time(row.booked.time)}, survey {row.booked.label}: {not_read(row)}"
            for row in listed
            if row.length is None
        ),
        segments=tuple(_segments(made, key)),
        levels=_levels(chord, words),
        frame=any(row.length is not None and row.length.frame_correction != 0 for row in read),
        joined=any(row.segment not in (None, 1) for row in every),
    )


def _said(newest: Row | None, words: Words) -> str:
    if newest is None:
        return "Never read."
    told = [f"Since start {words.plus_minus(newest.since_baseline)} {words.small}"]
    if newest.since_last is not None:
        told.append(f"since {words.time(newest.last_time)} {words.plus_minus(newest.since_last)} {words.small}")
    if newest.rate is not None:
        told.append(f"rate {words.plus_minus(newest.rate)} {words.small}/d since {words.time(newest.rate.since)}")
    return f"{', '.join(told)}; {level_word(newest)}. Read {words.time(newest.booked.time)}."


def _events(made: _Made, key: ChordKey) -> list[tuple[datetime, str, str]]:
    """Events of construction that count for a station, each with the letter that it has in the plot."""
    found = [
        (one.at, one.event + (f" ({one.note})" if one.note else ""))
        for one in made.scope.job.declared.happenings
        if one.station in ("", key[0]) and one.at <= made.scope.as_of
    ]
    stage = ""
    for survey in made.scope.job.counting:
        said = survey.state.answer("stage") or stage
        if stage and said != stage:
            found.append((survey.started, f"stage: {said}"))
        stage = said
    rows = made.rows.get(key, [])
    first = rows[0].booked.time if rows else made.scope.as_of
    kept = sorted(one for one in found if one[0] >= first)
    return [(at, _letter(place), what) for place, (at, what) in enumerate(kept)]


def _letter(place: int) -> str:
    again, letter = divmod(place, len(_LETTERS))
    return _LETTERS[letter] + (str(again) if again else "")


def _story(
    made: _Made, anchor: str, key: ChordKey, chord: Chord | None, events: Sequence[tuple[datetime, str, str]]
) -> Story:
    told = made.scope.job.account.stories.get(key)
    joins = [one.readings[0].time for one in told.segments[1:]] if told is not None else []
    levels = chord.levels if chord is not None else ()
    title = f"Movement of chord {key[1]} at station {key[0]}"
    drawn = [row for row in made.rows.get(key, []) if row.length is not None]
    return Story(anchor, title, drawn, levels, joins, [(at, letter) for at, letter, _ in events], made.still_open)


def _plots(made: _Made, story: Story, key: ChordKey) -> Iterator[Figure]:
    station = made.scope.job.route.station(key[0])
    ahead = [
        made.faces.distance(station, row.booked.time, row.booked.survey) if station is not None else None
        for row, *_ in points(story, made.words)
    ]
    by_face = face_plot(story, ahead, made.words)
    by_time = time_plot(story, made.words, wide=by_face is None)
    yield from (one for one in (by_time, by_face) if one is not None)


def _budget(newest: Row | None, words: Words) -> str:
    if newest is None or newest.length is None:
        return ""
    digits = words.route.units.decimals + 1
    terms = ", ".join(f"{name} {u:.{digits}f}" for name, u in newest.length.terms.items())
    together = f"{newest.length.u:.{digits}f}"
    return f"Standard uncertainty of the newest length, {words.small}: {terms}; together {together}."


def _segments(made: _Made, key: ChordKey) -> Iterator[str]:
    story, words = made.scope.job.account.stories.get(key), made.words
    for one in story.segments if story is not None else ():
        first, last = one.readings[0].time, one.readings[-1].time
        told = (
            f"Segment {one.number}: {instrument_words(one.tape, one.extensometer)}, {words.day(first)} to "
            f"{words.day(last)}, {counted(len(one.good), 'reading')} not in doubt, baseline of {len(one.baseline)}"
        )
        if one.offset is not None:
            own = one.offset
            how = CARRIED_BY[own.how] + (f" ({own.pairs})" if own.pairs else "")
            told += (
                f"; {words.plus_minus(own.value)} {words.small} carried over from segment {own.since} by {how}, "
                f"{own.gap_days:.1f} days between"
            )
        yield told + "."


def _levels(chord: Chord | None, words: Words) -> str:
    if chord is None or not chord.levels:
        return "No level is set for this chord."
    told = []
    for level in chord.levels:
        figures = (("closing", level.closing, ""), ("opening", level.opening, ""), ("closing a day", level.rate, "/d"))
        limits = ", ".join(f"{what} {limit:f} {words.small}{day}" for what, limit, day in figures if limit is not None)
        told.append(f"{level.name}: {limits}")
    return f"Levels, mild to severe. {'; '.join(told)}."
