"""The year before: what was booked reduces to the invented truth, and the truth looks like ground."""

from __future__ import annotations

from datetime import timedelta
from itertools import pairwise
from math import sqrt
from statistics import fmean, pstdev

import pytest

from fieldtui.demo.truth import Truth, passing_day
from fieldtui.job import Job, Reading
from fieldtui.reduction import ChordGround
from fieldtui.survey import PLANNED_DIALS

APPROACHING = ("S08", "L-R")


@pytest.fixture(scope="session")
def readings(job: Job) -> list[Reading]:
    return list(job.readings())


def misfit(truth: Truth, reading: Reading) -> float:
    """How far a reduced length is from the truth as its tape measures it, mm."""
    target = reading.booking.target
    constant = next(one.constant for one in truth.scenario.tapes if one.serial == reading.booking.tape)
    return float(reading.length.value) - truth.length(target.station, target.chord, reading.time) - constant


def test_every_reading_reduces_to_its_truth(truth: Truth, readings: list[Reading]) -> None:
    assert len(readings) > 800
    for reading in readings:
        assert abs(misfit(truth, reading)) < 5 * float(truth.route.coverage_factor) * reading.length.u


def test_the_scatter_is_that_of_the_scenario(truth: Truth, readings: list[Reading]) -> None:
    """Repeats, reproducibility, hole and thermometer in quadrature; the steel's error is small at these lengths."""
    noise = truth.scenario.noise
    lengths = [float(reading.length.value) for reading in readings]
    thermometer = float(truth.route.tapes[0].expansion) * sqrt(fmean(one**2 for one in lengths)) * noise.temperature
    expected = sqrt(noise.repeatability**2 / 3 + noise.reproducibility**2 + noise.hole**2 + thermometer**2)
    found = [misfit(truth, reading) for reading in readings if reading.length.repeats.n == 3]
    assert pstdev(found) == pytest.approx(expected, rel=0.15)
    assert abs(fmean(found)) < 0.05


def test_the_route_does_not_promise_more_than_there_is(truth: Truth) -> None:
    noise, states = truth.scenario.noise, truth.route.uncertainty
    assert noise.reproducibility <= states.reproducibility
    assert noise.hole <= states.hole
    assert noise.temperature <= states.temperature
    assert noise.repeatability <= truth.route.extensometers[0].repeatability
    assert noise.expansion <= truth.route.tapes[0].expansion_uncertainty


def test_the_dial_has_room_at_every_reading(truth: Truth, readings: list[Reading]) -> None:
    low, high = truth.route.extensometers[0].dial_range
    for reading in readings:
        assert all(low + 2 < dial < high - 2 for dial in reading.booking.dials)


def test_chords_close_and_slow_down_but_for_the_one_that_moves_again(truth: Truth) -> None:
    for station, chord in truth.route.walk():
        since = int(truth.scenario.station(station.name).installed)
        lengths = [
            truth.length(station.name, chord.name, truth.end - timedelta(days=day)) for day in range(since, -1, -1)
        ]
        daily = [later - earlier for earlier, later in pairwise(lengths)]
        late = any(one.station == station.name for one in truth.scenario.late)
        assert all(step < 0 for step in daily)
        quiet = daily[: since - 40] if late else daily
        # the face's pace changes at the points of the scenario: never by more than it slows down anyway
        assert all(later > earlier - 0.005 for earlier, later in pairwise(quiet))
        assert max(abs(step) for step in daily) < 2.0


def test_nothing_jumps_from_survey_to_survey(job: Job) -> None:
    for ground in job.ground().chords.values():
        for segment in ground.segments:
            for earlier, later in pairwise(segment.readings):
                days = (later.time - earlier.time) / timedelta(days=1)
                assert abs(float(later.length.value - earlier.length.value)) < 0.8 + 0.75 * days


def test_no_survey_is_in_doubt(readings: list[Reading]) -> None:
    assert [reading.note for reading in readings if reading.doubtful] == []


def test_a_station_is_read_from_its_installation_on_and_not_before(truth: Truth, readings: list[Reading]) -> None:
    for station in truth.route.stations:
        first = min(reading.time for reading in readings if reading.booking.target.station == station.name)
        planned = truth.scenario.station(station.name).installed
        assert truth.days(first) == pytest.approx(planned, abs=1.0)
        passed = passing_day(truth.scenario.face, float(station.chainage))
        assert 0 < passed - planned < 10


def test_every_log_carries_the_route_as_it_was(job: Job) -> None:
    counts = [len(survey.route.stations) for survey in job.surveys]
    assert counts == sorted(counts)
    assert counts[0] == 1
    assert counts[-1] == len(job.route.stations)
    assert all(walked in job.route.stations for survey in job.surveys for walked in survey.route.stations)


def test_the_new_tape_is_read_beside_the_old_one_on_its_first_day(job: Job) -> None:
    used: dict[str, list[str]] = {}
    for survey in job.surveys:
        used.setdefault(survey.label.split(" ")[0], []).append(survey.state.answer("tape") or "")
    assert [tapes for tapes in used.values() if len(tapes) > 1] == [["T-11", "T-12"]]
    order = [tape for tapes in used.values() for tape in tapes]
    assert order == sorted(order)


def test_surveys_are_closed_and_nothing_planned_is_missing(job: Job) -> None:
    for survey in job.surveys[:-1]:
        last = survey.logs[0].records[-1]
        assert last.kind == "closed"
        assert last.data["missing"] == []


def test_the_rarities_of_a_year_are_in_it(job: Job) -> None:
    bookings = [booking for survey in job.surveys for booking in survey.state.bookings.values()]
    outcomes = [booking.outcome for booking in bookings]
    assert outcomes.count("blocked") == 1
    assert outcomes.count("unsafe") == 1
    assert sum(len(booking.struck) for booking in bookings) == 1
    assert sum(len(survey.state.notes) for survey in job.surveys) == 3
    more = [len(booking.dials) for booking in bookings if len(booking.dials) > len(PLANNED_DIALS)]
    assert 2 <= len(more) < 60
    assert 5 in more


def test_the_mistyped_figure_is_struck_and_the_right_one_stands(job: Job) -> None:
    booking = next(one for survey in job.surveys for one in survey.state.bookings.values() if one.struck)
    struck = booking.struck[0]
    assert struck.by == booking.slots["dial_2"]
    assert abs(float(struck.entry.typed) - float(struck.by.typed)) == pytest.approx(5)


def test_one_chord_comes_up_to_its_first_level_and_no_other_does(truth: Truth, job: Job) -> None:
    notice = float(truth.route.levels[0].closing or 0)
    for key, ground in job.ground().chords.items():
        closed = -moved(ground)
        if key == APPROACHING:
            assert notice - 1.2 < closed < notice
        else:
            assert closed < 0.8 * notice


def test_today_the_level_can_no_longer_be_told_from(truth: Truth) -> None:
    start = truth.end - timedelta(days=truth.scenario.station(APPROACHING[0]).installed)
    today = truth.length(*APPROACHING, truth.end) - truth.length(*APPROACHING, start)
    assert -today == pytest.approx(float(truth.route.levels[0].closing or 0), abs=0.2)


def moved(ground: ChordGround) -> float:
    segment = ground.segments[-1]
    return float(segment.readings[-1].length.value - segment.baseline[0].length.value + segment.offset)
