"""The job as tables: the same figures as its rows, and what does not count apart."""

from __future__ import annotations

from collections import Counter

import numpy as np
import pandas as pd
import pytest
from msgspec.structs import replace

from fieldtui.history import Tables, tables
from fieldtui.history.tables import table_of
from fieldtui.job import Job
from fieldtui.job.faces import faces_of
from fieldtui.job.job import job_of


def test_every_booking_is_in_one_table_and_no_more(job: Job, found: Tables) -> None:
    assert len(found.readings) + len(found.doubtful) + len(found.not_read) == len(job.history())
    assert set(found.not_read["outcome"]) == {"blocked", "unsafe", "unfinished"}
    assert found.readings["counts"].all()


def test_figures_are_those_of_the_rows(job: Job, found: Tables) -> None:
    rows = [row for row in job.history() if row.counts]
    table = found.readings
    for name, attribute in (("change", "since_last"), ("since_baseline", "since_baseline"), ("rate", "rate")):
        for row, value, u in zip(rows, table[name], table[f"{name}_u"], strict=True):
            one = getattr(row, attribute)
            assert (one is None) == np.isnan(value)
            if one is not None:
                assert (value, u) == pytest.approx((float(one.value), one.u), rel=1e-12)
    assert list(table["station"]) == [row.station for row in rows]
    assert list(table["level_name"].astype(object).fillna("")) == [
        (row.level.level if row.level else None) or "" for row in rows
    ]
    assert list(table["time"]) == [pd.Timestamp(row.booked.time) for row in rows]


def test_names_are_categories(found: Tables) -> None:
    for name in ("station", "chord", "survey", "tape", "extensometer", "level"):
        assert isinstance(found.readings[name].dtype, pd.CategoricalDtype), name


def test_doubtful_readings_stand_apart_until_they_are_confirmed(job: Job) -> None:
    rows = list(job.history())
    doubted = next(place for place, row in enumerate(rows) if row.counts)
    rows[doubted] = replace(rows[doubted], doubt="kept as booked", counts=False)
    table = table_of(rows, faces_of(job.route, job.counting))
    assert table.loc[doubted, "doubtful"]
    assert not table.loc[doubted, "counts"]
    rows[doubted] = replace(rows[doubted], confirmed_by="a later one", counts=True)
    again = table_of(rows, faces_of(job.route, job.counting))
    assert not again.loc[doubted, "doubtful"]


def test_the_face_s_distance_is_that_of_the_survey(job: Job, found: Tables) -> None:
    row = found.readings.iloc[0]
    survey = next(one for one in job.counting if job.labels[one.id] == row["survey"])
    station = job.route.station(row["station"])
    assert station is not None
    assert row["face_distance"] == pytest.approx(
        float(survey.state.answer("face heading") or 0) - float(station.chainage)
    )


def test_a_survey_that_booked_no_chainage_has_no_distance(job: Job) -> None:
    """That of another survey, however near in time, is not taken for it."""
    faces = faces_of(job.route, job.counting[:1])
    table = table_of(job.history(), faces)
    first = table["survey"] == job.labels[job.counting[0].id]
    assert table.loc[first, "face_distance"].notna().all()
    assert table.loc[~first, "face_distance"].isna().all()


def test_segments_tell_what_was_carried_over(job: Job, found: Tables) -> None:
    """The demo's tape was changed once, with both read that day."""
    carried = found.segments[found.segments["carried"] == "ties"]
    assert len(carried) == Counter(found.segments["segment"])[2]
    assert set(carried["tape"]) == {"T-12"}
    story = job.account.stories[(carried.iloc[0]["station"], carried.iloc[0]["chord"])]
    offset = story.segments[1].offset
    assert offset is not None
    assert carried.iloc[0]["offset"] == pytest.approx(float(offset.value.value))
    assert found.segments["readings"].sum() == len(found.readings)


def test_a_job_without_surveys_is_empty_tables(job: Job) -> None:
    empty = tables(job_of(job.route, job.folder, replace(job.logs, logs=())))
    assert [len(one) for one in (empty.readings, empty.doubtful, empty.not_read, empty.segments)] == [0, 0, 0, 0]
