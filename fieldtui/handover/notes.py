"""What was said beside the readings: remarks, answers about the survey, what was struck out, who was told."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from zoneinfo import ZoneInfo

from fieldtui.handover.columns import Cell, Column, Sheet
from fieldtui.job import Job, Survey
from fieldtui.survey import Entry

_NOTES = (
    Column("survey", "string", "label of the survey; empty for what was declared between surveys"),
    Column("time", "datetime", "in the route's time zone"),
    Column("time_zone", "string", "the route's time zone (IANA)"),
    Column("kind", "string", "remark, answer, or the kind of what was declared between surveys"),
    Column("station", "string", "where it belongs to one"),
    Column("chord", "string", "where it belongs to one"),
    Column("about", "string", "the question, for an answer"),
    Column("text", "string", "what was said"),
    Column("by", "string", "who booked it, where it says so"),
    Column("log", "string", "id of the log"),
    Column("seq", "integer", "number of the record"),
)


def notes(job: Job) -> Sheet:
    """The table of notes, in order of time."""
    zone = ZoneInfo(job.route.time_zone)
    rows = [row for survey in job.counting for row in _of_survey(survey, job.labels[survey.id], zone)]
    rows += _of_journals(job, zone)
    rows.sort(key=lambda row: (str(row["_order"]), str(row["log"]), int(str(row["seq"]))))
    return Sheet("notes", "Remarks, answers and declarations", _NOTES, rows, ("log", "seq"))


def _of_survey(survey: Survey, label: str, zone: ZoneInfo) -> Iterator[dict[str, Cell]]:
    state = survey.state
    for note in state.notes:
        place: dict[str, Cell] = {"station": note.station or None, "chord": note.chord or None}
        yield {**_row(note.entry, label, zone), "kind": "remark", **place, "text": note.text}
    for what, last in state.said.items():
        for entry in (*state.said_before.get(what, ()), last):
            yield {**_row(entry, label, zone), "kind": "answer", "about": what, "text": entry.typed or None}


def _row(entry: Entry, label: str, zone: ZoneInfo) -> dict[str, Cell]:
    return {
        "_order": entry.read_at.isoformat(),
        "survey": label,
        "time": entry.read_at.astimezone(zone),
        "time_zone": zone.key,
        "log": entry.log,
        "seq": entry.seq,
    }


def _of_journals(job: Job, zone: ZoneInfo) -> Iterator[dict[str, Cell]]:
    """What was declared between surveys, word for word."""
    for log in job.logs.logs:
        if log.head.get("scope") != "journal":
            continue
        for record in log.records[1:]:
            if record.kind in ("closed", "route"):
                continue
            data = record.data
            at = datetime.fromisoformat(record.at)
            told = "; ".join(f"{key}: {value}" for key, value in data.items() if key not in ("by", "station", "chord"))
            yield {
                "_order": at.isoformat(),
                "time": at.astimezone(zone),
                "time_zone": zone.key,
                "kind": record.kind,
                "station": data.get("station"),
                "chord": data.get("chord"),
                "text": told or None,
                "by": data.get("by"),
                "log": log.id,
                "seq": record.seq,
            }
