"""A job as tables. Lengths and changes in the route's small unit, rates a day, **negative is closing**, times in UTC.

    Job.history, Faces ── tables ──► readings    what counts, in order of time
                                     doubtful    doubtful and not confirmed, or followed by another of its survey
                                     not_read    struck out, blocked, lost, buried, unsafe, unfinished
                                     segments    one row each: instruments, span, what was carried in

Columns that end in `_u` are standard uncertainties.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Sequence
from typing import Any

import numpy as np
import pandas as pd
from msgspec import Struct

from fieldtui.job import Job
from fieldtui.job.carried import CarriedSegment
from fieldtui.job.faces import Faces, faces_of
from fieldtui.job.history import Row
from fieldtui.job.stories import ChordStory
from fieldtui.printable import printable
from fieldtui.reduction import Quantity, Rate

Read = Callable[[Row], Any]

_TEXTS: dict[str, Read] = {
    "station": lambda row: row.station,
    "chord": lambda row: row.chord,
    "survey": lambda row: row.booked.label,
    "outcome": lambda row: row.booked.outcome,
    "tape": lambda row: row.booked.tape,
    "extensometer": lambda row: row.booked.extensometer,
    "observer": lambda row: row.booked.observer,
    "epoch": lambda row: row.epoch,
    "level": lambda row: row.level.state if row.level is not None else None,
    "level_name": lambda row: row.level.level if row.level is not None else None,
}
_REMARKS: dict[str, Read] = {
    "doubt": lambda row: row.doubt,
    "marks": lambda row: "; ".join(row.marks),
    "confirmed_by": lambda row: row.confirmed_by,
    "reason": lambda row: row.booked.reason or "; ".join(one.reason for one in row.booked.struck if one.reason),
    "note": lambda row: row.booked.note,
}
_FIGURES: dict[str, Read] = {
    "length": lambda row: row.length,
    "change": lambda row: row.since_last,
    "since_baseline": lambda row: row.since_baseline,
    "total": lambda row: row.total,
    "since_epoch": lambda row: row.since_epoch,
    "rate": lambda row: row.rate,
}
_FLAGS: dict[str, Read] = {
    "baseline": lambda row: row.baseline,
    "counts": lambda row: row.counts,
    "doubtful": lambda row: row.doubtful,
}


class Tables(Struct, frozen=True):
    """See the module. `readings`, `doubtful` and `not_read` have the same columns."""

    readings: pd.DataFrame
    doubtful: pd.DataFrame
    not_read: pd.DataFrame
    segments: pd.DataFrame


def tables(job: Job) -> Tables:
    """All of a job."""
    rows = job.history()
    still_open = {survey.id for survey in job.counting if survey.open}
    table = table_of(rows, faces_of(job.route, job.counting), still_open)
    read = table["length"].notna()
    return Tables(
        readings=table[table["counts"]].reset_index(drop=True),
        doubtful=table[read & ~table["counts"]].reset_index(drop=True),
        not_read=table[~read].reset_index(drop=True),
        segments=segments_of(job.account.stories.values()),
    )


def table_of(rows: Sequence[Row], faces: Faces, still_open: Collection[str] = ()) -> pd.DataFrame:
    """One row for each booking, in the order given. `still_open` are ids of surveys that are not closed."""
    columns: dict[str, Any] = {name: pd.Categorical(_shown(read, rows)) for name, read in _TEXTS.items()}
    columns["time"] = _times(row.booked.time for row in rows)
    columns["segment"] = pd.array([row.segment for row in rows], dtype="Int32")
    for name, read in _FIGURES.items():
        columns[name], columns[f"{name}_u"] = _figures([read(row) for row in rows])
    columns["rate_since"] = _times(row.rate.since if row.rate is not None else None for row in rows)
    columns["face_distance"] = np.asarray([_ahead(row, faces) for row in rows], dtype=float)
    for name, read in _FLAGS.items():
        columns[name] = np.asarray([read(row) for row in rows], dtype=bool)
    columns["survey_open"] = np.asarray([row.booked.survey in still_open for row in rows], dtype=bool)
    for name, read in _REMARKS.items():
        columns[name] = pd.array(_shown(read, rows), dtype="string")
    return pd.DataFrame(columns)


def _shown(read: Read, rows: Sequence[Row]) -> list[str | None]:
    """Texts as a screen can show them: half a surrogate pair from a foreign log is no text for pandas either."""
    return [printable(text) if isinstance(text := read(row), str) else None for row in rows]


def segments_of(stories: Iterable[ChordStory]) -> pd.DataFrame:
    """One row for each segment. `offset` is what was carried in, `gap_days` between the readings it rests on."""
    found = [(story, segment) for story in stories for segment in story.segments]
    made = pd.DataFrame(
        {
            "station": pd.Categorical([story.key[0] for story, _ in found]),
            "chord": pd.Categorical([story.key[1] for story, _ in found]),
            "segment": np.asarray([segment.number for _, segment in found], dtype="int32"),
            "tape": pd.Categorical([segment.tape for _, segment in found]),
            "extensometer": pd.Categorical([segment.extensometer for _, segment in found]),
            "first": _times(segment.readings[0].time for _, segment in found),
            "last": _times(segment.readings[-1].time for _, segment in found),
            "readings": np.asarray([len(segment.good) for _, segment in found], dtype="int32"),
            "baseline_sets": np.asarray([len(segment.baseline) for _, segment in found], dtype="int32"),
            "carried": pd.Categorical([segment.offset.how if segment.offset else "" for _, segment in found]),
        }
    )
    made["offset"], made["offset_u"] = _figures([_offset(segment) for _, segment in found])
    made["gap_days"] = np.asarray([s.offset.gap_days if s.offset else np.nan for _, s in found], dtype=float)
    return made


def _offset(segment: CarriedSegment) -> Quantity | None:
    return segment.offset.value if segment.offset is not None else None


def _figures(found: Sequence[Quantity | Rate | None]) -> tuple[Any, Any]:
    values = np.asarray([np.nan if one is None else float(one.value) for one in found], dtype=float)
    return values, np.asarray([np.nan if one is None else one.u for one in found], dtype=float)


def _times(found: Iterable[Any]) -> Any:
    return pd.to_datetime(pd.Series(list(found), dtype="object"), utc=True).dt.as_unit("us")


def _ahead(row: Row, faces: Faces) -> float:
    station = faces.route.station(row.station)
    ahead = faces.distance(station, row.booked.time, row.booked.survey) if station is not None else None
    return np.nan if ahead is None else ahead
