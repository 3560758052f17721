"""A survey's rows as records of the survey's own kinds, in the order in which a walk would have booked them.

Reading times go into `read_at`; the log's `at` is the time of booking. A reading that does not agree is `kept`, with
the reason, as a surveyor keeps one.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Any

from fieldtui.paper.judging import Judged
from fieldtui.paper.plan import Planned, Sitting
from fieldtui.route import Route
from fieldtui.survey import State, unit_of
from fieldtui.survey.times import stamp

Entry = tuple[str, Mapping[str, Any]]
Meaning = Callable[[Planned], Judged]

SHEET = "sheet"
"""The answer that names the sheet a survey was booked from."""
_SAID = {"observer": "reader", "recorder": "recorder", "stage": "stage"}


def entries(sitting: Sitting, meaning: Meaning, sheet: str) -> list[Entry]:
    """The records of a sitting's new rows, from where its survey stands."""
    return list(_entries(sitting, meaning, sheet))


def _entries(sitting: Sitting, meaning: Meaning, sheet: str) -> Iterator[Entry]:
    existing = sitting.existing
    state = existing.state if existing is not None else State()
    said = {what: entry.typed for what, entry in state.said.items()}
    at = state.at
    # a walk asks for these: a survey that says nothing of them says so
    unsaid = {"reader": "", "recorder": "", "stage": ""} if existing is None else {}
    for planned in sitting.new:
        row = planned.row
        answers = {**unsaid, SHEET: sheet, **_answers(sitting.route, planned)}
        unsaid = {}
        for what, typed in answers.items():
            if said.get(what) != typed:
                said[what] = typed
                yield "said", {"what": what, "typed": typed, "read_at": stamp(row.time)}
        if row.is_chord and row.station != at:
            at = row.station
            yield "arrived", {"station": at}
        yield from _booking(sitting.route, planned, meaning(planned))


def _answers(route: Route, planned: Planned) -> dict[str, str]:
    """What a row says of the whole survey from here on."""
    row = planned.row
    answers = {"tape": planned.tape, "extensometer": planned.extensometer}
    answers |= {_SAID[column]: typed for column, typed in row.said.items() if column in _SAID}
    if "face_chainage" in row.said:
        answers[_face(route, planned)] = row.said["face_chainage"]
    return answers


def _face(route: Route, planned: Planned) -> str:
    """The question that a face's chainage answers: the face of the station, else the route's first."""
    station = route.station(planned.row.station)
    name = station.face if station is not None and station.face else next((face.name for face in route.faces), "")
    return f"face {name}".strip()


def _booking(route: Route, planned: Planned, judged: Judged) -> Iterator[Entry]:
    row, target = planned.row, planned.target.data()
    when = {"read_at": stamp(row.time)}
    if not row.was_read:
        yield "unread", {**target, "outcome": row.outcome, "note": row.note, **when}
        return
    there = planned.begun.booking.slots if planned.begun is not None else {}
    for slot, typed in row.slots.items():
        if slot not in there:
            yield "figure", {**target, "slot": slot, "typed": typed, "unit": unit_of(route, slot), **when}
    if row.note:
        place = {"station": row.station, "chord": row.chord} if row.is_chord else {}
        yield "note", {"text": row.note, **place, **when}
    if not planned.target.is_zero:
        outcome = "kept" if judged.doubt else "read"
        reasons = [judged.doubt] if outcome == "kept" else []
        if row.is_chord and row.written != row.chord:
            reasons.append(f"read from the other end, as {row.written}")
        yield "accepted", {**target, "as": outcome, "reason": "; ".join(reasons), "shown": dict(judged.shown), **when}
