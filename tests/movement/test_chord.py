"""A job's chord as a course: the job's own figures, with what the readings share."""

from __future__ import annotations

from datetime import timedelta

import numpy as np
import pytest
from msgspec.structs import replace

from fieldtui.job import Job
from fieldtui.job.faces import Faces
from fieldtui.movement.chord import ChordCourse, course_of
from fieldtui.reduction import change

KEY = ("S02", "L-R")


@pytest.fixture(scope="session")
def chord(job: Job, faces: Faces) -> ChordCourse:
    made = course_of(job.account.stories[KEY], faces, {label: one for one, label in job.labels.items()})
    assert made is not None
    return made


def test_it_counts_from_the_booked_baseline_over_the_segments(job: Job, chord: ChordCourse) -> None:
    rows = {row.booked.label: row for row in job.history() if row.key == KEY and row.counts and row.since_baseline}
    told = {survey: y for survey, y in zip(chord.surveys, chord.course.y, strict=True) if survey in rows}
    assert len(told) > 60
    for survey, closing in told.items():
        row = rows[survey]
        assert row.since_baseline is not None
        if not row.baseline:
            assert closing == pytest.approx(-float(row.since_baseline.value)), survey


def test_the_baseline_is_a_reading_of_the_course(chord: ChordCourse) -> None:
    assert chord.course.y[0] == 0.0
    assert chord.course.covariance is not None
    assert chord.course.covariance[0, 0] == pytest.approx(chord.course.common**2, rel=1e-3)


def test_with_the_baseline_s_own_error_uncertainties_are_those_of_the_job(job: Job, chord: ChordCourse) -> None:
    """Own and common together are the uncertainty since the baseline that every screen shows."""
    rows = [row for row in job.history() if row.key == KEY and row.counts and row.segment == 1 and not row.baseline]
    assert chord.course.covariance is not None
    for place, row in enumerate(rows, 1):
        assert row.since_baseline is not None
        whole = chord.course.covariance[place, place] + chord.course.common**2
        assert whole**0.5 == pytest.approx(row.since_baseline.u, rel=1e-4)


def test_what_two_readings_share_is_in_the_covariance(job: Job, chord: ChordCourse) -> None:
    """The variance of a difference is that of the change between the two lengths, in either segment."""
    covariance = chord.course.covariance
    assert covariance is not None
    rows = {row.booked.label: row for row in job.history() if row.key == KEY and row.counts}
    for one, other in ((1, 2), (5, 20), (40, 41), (45, 60)):
        first, second = rows[chord.surveys[one]].length, rows[chord.surveys[other]].length
        assert first is not None
        assert second is not None
        spread = covariance[one, one] + covariance[other, other] - 2 * covariance[one, other]
        assert spread**0.5 == pytest.approx(change(second, first).u, rel=1e-4), (one, other)


def test_readings_of_a_later_segment_share_what_was_carried_in(chord: ChordCourse) -> None:
    covariance = chord.course.covariance
    assert covariance is not None
    later = [place for place, time in enumerate(chord.times) if time > chord.joins[0]]
    shared = covariance[np.ix_(later[:2], later[-2:])]
    assert (shared > 0.005).all()
    assert abs(covariance[2, 7]) < 0.001


def test_time_and_face_count_from_the_face_passing(faces: Faces, chord: ChordCourse) -> None:
    station = faces.route.station("S02")
    assert station is not None
    passed = faces.passed(station)
    assert passed is not None
    assert chord.course.origin_known
    assert chord.course.t[0] == pytest.approx((chord.times[0] - passed) / timedelta(days=1))
    assert (np.diff(chord.course.x) >= 0).all()
    assert chord.course.x[0] > 0


def test_a_face_that_was_past_before_leaves_the_origin_unknown(job: Job, faces: Faces) -> None:
    made = course_of(job.account.stories[("S01", "L-R")], faces, {})
    assert made is not None
    assert not made.course.origin_known
    assert made.course.t[0] == 0.0
    assert np.isnan(made.course.x).all(), "no survey is known by these labels"


def test_a_refit_leaves_out_what_came_before(job: Job, faces: Faces, chord: ChordCourse) -> None:
    later = course_of(job.account.stories[KEY], faces, {}, since=chord.times[10])
    assert later is not None
    assert later.times == chord.times[10:]
    assert later.course.y == pytest.approx(chord.course.y[10:])
    assert course_of(job.account.stories[KEY], faces, {}, since=chord.times[-1] + timedelta(days=1)) is None


def test_an_only_baseline_set_of_a_later_segment_says_nothing_new(job: Job, chord: ChordCourse) -> None:
    story = job.account.stories[KEY]
    second = story.segments[1].baseline[0]
    assert len(story.segments[1].baseline) == 1
    assert second.time not in chord.times
    assert len(chord.times) == sum(len(one.good) for one in story.segments) - 1


def test_a_chord_without_a_baseline_has_no_course(job: Job, faces: Faces) -> None:
    story = job.account.stories[KEY]
    bare = replace(story, segments=tuple(replace(one, baseline=()) for one in story.segments))
    assert course_of(bare, faces, {}) is None
