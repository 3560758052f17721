"""What was caught and how it was settled, what was struck out, what was not read: said once, with reason and name.

rows of a chord ──► sentences, in order of time
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from fieldtui.handover.report.scope import Scope
from fieldtui.handover.report.words import Words
from fieldtui.job import Survey
from fieldtui.job.history import Row
from fieldtui.job.telling import CAUSES
from fieldtui.survey import OUTCOMES, Struck, Target
from fieldtui.survey.words import SLOTS, slot

Shown = Mapping[tuple[str, Target], Mapping[str, Any]]
"""(survey id, target) -> the verdict that stood on the screen when a reading was accepted that did not agree."""


def doubted_on_screen(scope: Scope) -> Shown:
    """Verdicts that the logs of the surveys in the tables hold."""
    found: dict[tuple[str, Target], Mapping[str, Any]] = {}
    for survey in scope.job.counting:
        if scope.alone and survey.id != scope.newest.id:
            continue
        for target, verdict in _accepted(survey):
            if not verdict.get("agrees", True):
                found[(survey.id, target)] = verdict
    return found


def _accepted(survey: Survey) -> Iterator[tuple[Target, Mapping[str, Any]]]:
    for log in survey.logs:
        for record in log.records:
            shown = record.data.get("shown") if record.kind == "accepted" else None
            verdict = shown.get("verdict") if isinstance(shown, dict) else None
            if isinstance(verdict, dict):
                yield Target.of(record.data), verdict


def caught(rows: Iterable[Row], shown: Shown, words: Words) -> Iterator[str]:
    """Misreadings named while the tape was hooked, figures set right, readings kept or confirmed."""
    for row in rows:
        when = f"{words.time(row.booked.time)}, survey {row.booked.label}"
        for one in row.booked.struck:
            if one.by is not None:
                yield f"{when}: {_set_right(one, words)}"
        verdict = shown.get((row.booked.survey, row.booked.target))
        if verdict is not None or row.doubt:
            yield f"{when}: {_doubt(row, verdict)}"


def struck_out(rows: Iterable[Row], words: Words) -> Iterator[str]:
    """Entries that no longer count and have nothing in their place."""
    for row in rows:
        for one in row.booked.struck:
            if one.by is None:
                when = f"{words.time(one.entry.read_at)}, survey {row.booked.label}"
                yield f"{when}: {_name(one.slot, words)} {one.entry.typed} struck out{_why(one)}."


def not_read(row: Row) -> str:
    """Why a booking has no length, in words."""
    booked = row.booked
    if booked.outcome in OUTCOMES:
        why = OUTCOMES[booked.outcome]
        word = "UNSAFE" if booked.outcome == "unsafe" else booked.outcome
        said = f"{word}: {booked.reason or why}"
    elif booked.outcome == "struck":
        said = "struck out: " + ("; ".join(one.reason for one in booked.struck if one.reason) or "no reason booked")
    elif booked.outcome == "unfinished":
        said = "begun, not all its figures are booked"
    else:
        said = "no length comes of its figures: tape, extensometer or hole is not in the route"
    return f"{said} ({booked.note})" if booked.note else said


def _name(what: str, words: Words) -> str:
    """What a struck entry is called: a figure with its unit, or that the reading had been accepted."""
    if what in ("accepted", "unread"):
        return "outcome"
    return slot(words.route, what) if what in SLOTS else what


def _set_right(one: Struck, words: Words) -> str:
    new = one.by.typed if one.by is not None else ""
    name = _name(one.slot, words)
    return f"{name} {one.entry.typed} set right to {new}{_why(one)}."


def _why(one: Struck) -> str:
    said = ", ".join(part for part in (one.reason, one.who) if part)
    return f" ({said})" if said else ""


def _doubt(row: Row, verdict: Mapping[str, Any] | None) -> str:
    told = []
    likely = next(iter(verdict.get("explanations", ())), None) if verdict is not None else None
    if isinstance(likely, dict):
        cause = CAUSES.get(likely.get("cause", ""), str(likely.get("cause", "")))
        detail = f", {likely['detail']}" if likely.get("detail") else ""
        told.append(f"did not agree; it looked like {cause}{detail}")
    if row.booked.outcome == "kept":
        told.append(f"kept: {row.booked.reason or row.doubt or 'no reason booked'}")
    else:
        told.append(f"in doubt: {row.doubt}" if row.doubt else "accepted as it was")
    if row.confirmed_by:
        told.append(f"confirmed by survey {row.confirmed_by}")
    elif row.doubtful:
        told.append("not confirmed, not counted")
    return "; ".join(told) + "."
