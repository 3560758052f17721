"""The generated entries are those that the program would have asked for, in its order."""

from __future__ import annotations

from datetime import timedelta
from types import MappingProxyType

import pytest

from fieldtui.demo.generate import survey_lines
from fieldtui.demo.grown import route_text_with
from fieldtui.demo.plan import planned_surveys
from fieldtui.demo.truth import Truth
from fieldtui.job import Job
from fieldtui.job.closing import closing_data
from fieldtui.log import Record
from fieldtui.route import Route, parse_route
from fieldtui.survey import State, Step, apply, check_answer, check_figure, next_step

CORRECTIONS = 1


def answered(route: Route, state: State, step: Step, record: Record) -> bool:
    """Whether an entry is an answer to the prompt, and one that would have been taken."""
    data = record.data
    if step.kind == "say":
        return record.kind == "said" and check_answer(route, step, data["typed"]) == data["typed"]
    if step.kind == "arrive":
        return record.kind == "arrived" and data["station"] == step.what
    if step.target is None or any(data[name] != value for name, value in step.target.data().items()):
        return False
    if record.kind == "unread":
        return step.what == "hole"
    if step.kind == "result":
        return record.kind == "accepted"
    check_figure(route, state, step.target, data["slot"], data["typed"], optional=step.optional)
    return record.kind == "figure" and data["slot"] == step.what


def test_every_entry_answers_the_prompt_that_was_up(job: Job) -> None:
    """All but remarks, which may come at any time, and the one figure that is typed again."""
    beside = 0
    for survey in job.surveys:
        state, log = State(), survey.logs[0]
        for record in log.records:
            if record.kind not in ("log", "route", "note", "closed"):
                beside += not answered(survey.route, state, next_step(survey.route, state), record)
            if record.kind == "closed":
                assert next_step(survey.route, state).kind == "end"
            state = apply(state, record, log.id)
    assert beside == CORRECTIONS


def test_entries_are_booked_one_after_another_and_before_the_end(truth: Truth, job: Job) -> None:
    for survey in job.surveys:
        times = [record.at for record in survey.logs[0].records]
        assert times == sorted(times)
        assert max(entry.read_at for booking in survey.state.bookings.values() for entry in booking.slots.values()) <= (
            truth.end
        )


def test_a_reading_has_the_time_it_was_booked_at(job: Job) -> None:
    timed = [r for survey in job.surveys for r in survey.logs[0].records if "read_at" in r.data]
    assert timed
    assert all(record.data["read_at"] == record.at for record in timed)


def test_surveys_are_closed_with_what_the_program_closes_them_with(job: Job) -> None:
    for survey in (job.surveys[0], job.surveys[30], job.surveys[-2]):
        made = closing_data(survey.route, survey.state, survey.id, lambda tape, extensometer: None)
        assert survey.logs[0].records[-1].data == made


@pytest.mark.parametrize("seed", range(1, 13))
def test_whatever_the_seed_today_breaks_off_after_one_dial_figure(truth: Truth, seed: int) -> None:
    other = Truth(truth.route, truth.scenario, seed, truth.end)
    today = planned_surveys(other)[-1]
    lines = survey_lines(other, truth.route, today)
    assert [(line.data["chord"], line.data["slot"]) for line in lines[-2:]] == [("L-K", "hole"), ("L-K", "dial_1")]
    assert timedelta(0) < truth.end - lines[-1].at < timedelta(minutes=truth.scenario.interrupted.minutes)


def test_generating_is_a_function_of_its_arguments(truth: Truth) -> None:
    planned = planned_surveys(truth)[20]
    assert survey_lines(truth, truth.route, planned) == survey_lines(truth, truth.route, planned)


def test_labels_are_those_the_program_would_give(truth: Truth) -> None:
    labels = [planned.label for planned in planned_surveys(truth)]
    assert len(set(labels)) == len(labels)
    assert labels[-1] == "2025-06-18"


def test_the_route_grows_by_whole_stations(truth: Truth) -> None:
    text = route_text_with(truth.route.text, ("S01", "S06"))
    route = parse_route(text, MappingProxyType({}), name="demo.toml")
    assert [station.name for station in route.stations] == ["S01", "S06"]
    assert len(route.stations[1].chords) == 7
    assert route_text_with(truth.route.text, [station.name for station in truth.route.stations]) == truth.route.text
