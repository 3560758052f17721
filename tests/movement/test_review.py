"""The demo reviewed: what is true of its invented ground is what the review says, or it says that it cannot tell."""

from __future__ import annotations

from fieldtui.demo.truth import Truth
from fieldtui.job import Job
from fieldtui.job.faces import Faces
from fieldtui.movement.datum import Fixed
from fieldtui.movement.displacement import Displacements, NoDisplacements
from fieldtui.movement.laws import FACE_ADVANCE
from fieldtui.movement.review import ends_that_count, review, told_figures
from fieldtui.movement.station import moved_anchors


def test_the_station_that_moves_again_is_noticed_and_no_other(job: Job, faces: Faces, truth: Truth) -> None:
    """S08's anchor L moves faster and faster; chords that do not end there do not."""
    late = {(one.station, one.anchor) for one in truth.scenario.late}
    assert late == {("S08", "L")}
    for station, chord in job.route.walk():
        told = review(job, (station.name, chord.name), faces=faces) if station.name in ("S05", "S08", "S09") else None
        if told is not None:
            assert told.bend is not None
            assert told.bend.noticed == (station.name == "S08" and "L" in chord.name.split("-")), (
                station.name,
                chord.name,
            )


def test_no_forecast_and_no_rest_while_it_speeds_up(job: Job, faces: Faces) -> None:
    told = review(job, ("S08", "L-R"), faces=faces)
    assert told is not None
    assert {one.refusal for one in told.answers} == {"The rate is rising: no forecast."}
    assert told.resting is not None
    assert (told.resting.falling, told.resting.told) == ("no", "no")
    assert told.moving.speeding_up
    assert told.inverse


def test_laws_stand_side_by_side_for_a_chord_that_slows_down(job: Job, faces: Faces) -> None:
    told = review(job, ("S09", "L-R"), faces=faces)
    assert told is not None
    face = next(one for one in told.answers if one.law is FACE_ADVANCE)
    assert face.answers
    assert face.rest is not None
    assert "A 10." in told_figures(face)
    assert told.resting is not None
    assert told.resting.falling == "yes"
    assert told.moving.closing > 8


def test_laws_that_do_not_fit_have_no_say_in_rest(job: Job, faces: Faces) -> None:
    """S02: exponential and face advance end below what has closed already, and do not fit."""
    told = review(job, ("S02", "L-R"), faces=faces)
    assert told is not None
    poor = [one for one in told.answers if one.answers and not one.fits]
    assert poor
    assert all(any("does not fit" in remark for remark in one.remarks) for one in poor)
    assert all(one.end is not None and (one.end.high or 0) < told.moving.closing for one in poor)
    counting = ends_that_count(told.answers)
    assert counting == [one.end for one in told.answers if one.answers and one not in poor]
    assert counting


def test_a_chord_that_was_never_read_has_no_review(job: Job, faces: Faces) -> None:
    assert review(job, ("S99", "L-R"), faces=faces) is None


def test_anchors_between_a_survey_and_itself_are_refused_for_what_it_is(job: Job) -> None:
    station = job.route.station("S05")
    assert station is not None
    newest = moved_anchors(job, station).later
    told = moved_anchors(job, station, later=newest, earlier=newest)
    assert told.found == NoDisplacements(f"Begin and end are one survey, {newest}.")


def test_anchors_of_three_chords(job: Job, truth: Truth) -> None:
    """With the true displacements of L and R's height held, what the chords tell is the truth within 4 u."""
    station = job.route.station("S05")
    assert station is not None
    told = moved_anchors(job, station, fixed=(Fixed("L"), Fixed("R", "up")))
    assert isinstance(told.found, Displacements)
    assert told.chords == ("L-R", "L-K", "R-K")
    times = {job.labels[one.id]: one.started for one in job.counting}
    closed = truth.length("S05", "L-R", times[told.later]) - truth.length("S05", "L-R", times[told.earlier])
    across, _ = told.found.of("R")
    assert abs(across - closed) < 4 * told.found.u("R")[0]
    assert 0.1 < told.found.u("R")[0] < 0.3


def test_two_surveys_by_name(job: Job) -> None:
    station = job.route.station("S08")
    assert station is not None
    told = moved_anchors(job, station, later="2025-06-16", earlier="2025-05-25")
    assert (told.earlier, told.later) == ("2025-05-25", "2025-06-16")
    assert isinstance(told.found, Displacements)
    late = moved_anchors(job, station, later="2025-06-16", earlier="2025-06-16")
    assert isinstance(late.found, NoDisplacements)


def test_a_chord_left_out_that_one_of_the_two_did_not_read(job: Job) -> None:
    """S08 L-K was unsafe once."""
    station = job.route.station("S08")
    assert station is not None
    missing = next(row.booked.label for row in job.history() if row.station == "S08" and row.booked.outcome == "unsafe")
    told = moved_anchors(job, station, later=missing)
    assert told.chords == ("L-R", "R-K")
    assert isinstance(told.found, NoDisplacements)
    assert "3 anchors need 3 chords" in told.found.why


def test_one_chord_tells_nothing_of_its_anchors(job: Job) -> None:
    station = job.route.station("S03")
    assert station is not None
    assert isinstance(moved_anchors(job, station).found, NoDisplacements)
