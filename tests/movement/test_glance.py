"""A route at a glance: what matters most first."""

from __future__ import annotations

from datetime import timedelta

import pytest
from msgspec.structs import replace

from fieldtui.job import Job
from fieldtui.job.faces import faces_of
from fieldtui.movement.acceleration import WINDOWS, speeding_up
from fieldtui.movement.canvas import as_text, cell_width, cut
from fieldtui.movement.chord import course_of
from fieldtui.movement.glance import Glance, glance, glance_lines, said, weight
from fieldtui.reduction import Overall
from harness.demo import END
from harness.shelf import Read, Shelf, day, route_with, stamp


@pytest.fixture(scope="session")
def found(job: Job) -> tuple[Glance, ...]:
    return glance(job, END)


def test_every_chord_of_the_walk_is_there_once(job: Job, found: tuple[Glance, ...]) -> None:
    assert sorted(one.key for one in found) == sorted((station.name, chord.name) for station, chord in job.route.walk())


def test_the_station_that_moves_again_comes_first(found: tuple[Glance, ...]) -> None:
    assert {one.key for one in found[:2]} == {("S08", "L-R"), ("S08", "L-K")}
    assert [one.speeding_up for one in found[:3]] == [True, True, False]


def test_what_is_not_moving_stays_in_walking_order(job: Job, found: tuple[Glance, ...]) -> None:
    order = [(station.name, chord.name) for station, chord in job.route.walk()]
    still = [order.index(one.key) for one in found if not (one.moving or one.severity or one.speeding_up)]
    assert still == sorted(still)
    fast = [abs(float(one.rate.value)) for one in found if one.moving and one.rate and not one.severity]
    assert fast[2:] == sorted(fast[2:], reverse=True)


def test_at_a_level_before_speeding_up_before_not_told_before_moving_before_overdue(found: tuple[Glance, ...]) -> None:
    plain = replace(found[-1], rate=None, moving=False, severity=0, speeding_up=False)
    above = replace(plain, level=Overall("above", "notice"), severity=1)
    severe = replace(plain, level=Overall("above", "action"), severity=2)
    fast = replace(plain, speeding_up=True)
    unsure = replace(plain, level=Overall("cannot tell", "notice"), severity=1)
    moving = replace(plain, rate=found[0].rate, moving=True)
    late = replace(plain, due=replace(plain.due, when="overdue"))
    today = replace(plain, due=replace(plain.due, when="today"))
    later = replace(plain, due=replace(plain.due, when="later"))
    wanted = [severe, above, fast, unsure, moving, late, today, later]
    turned = wanted[::-1]
    assert sorted(turned, key=weight) == wanted


def test_only_what_was_read_by_then_counts(job: Job) -> None:
    early = glance(job, END - timedelta(days=30))
    assert not any(one.speeding_up for one in early)
    assert max(one.last for one in early if one.last is not None) <= END - timedelta(days=30)
    before = glance(job, END - timedelta(days=400))
    assert all(one.last is None for one in before)


def test_the_lines_fill_the_width_and_say_it_in_words(job: Job, found: tuple[Glance, ...]) -> None:
    lines = glance_lines(found, job.route, 80)
    assert {sum(len(text) for text, _ in line) for line in lines} == {80}
    assert len(lines) == len(found) + 1
    first = as_text(lines[1:2])
    assert first.split()[:3] == ["1", "S08", "L-R"]
    assert "▲ speeding up, closing" in first
    assert lines[1][0][1] in ("notice", "alarm")
    late = glance_lines(glance(job, END + timedelta(days=20)), job.route, 90)
    assert "overdue" in as_text(late)
    none = glance_lines(glance(job, END - timedelta(days=400)), job.route, 80)
    assert as_text(none).count("never read") == len(found)


def test_what_there_is_to_say_comes_in_words_what_matters_most_first(found: tuple[Glance, ...]) -> None:
    one = next(one for one in found if one.moving)
    above = replace(one, level=Overall("above", "notice"), severity=1, speeding_up=True, open=True)
    above = replace(above, due=replace(above.due, when="overdue"))
    assert said(above) == ("■ above notice", "▲ speeding up", "closing", "overdue", "◇ survey open")
    unsure = replace(above, level=Overall("cannot tell", "notice"), speeding_up=False, moving=False, open=False)
    assert said(unsure) == ("▲ cannot tell notice", "overdue")
    assert said(replace(one, last=None, level=None, moving=False, speeding_up=False, open=False)) == ("never read",)


def test_a_reading_of_a_survey_that_is_not_closed_says_so(job: Job, found: tuple[Glance, ...]) -> None:
    still = {survey.id: survey for survey in job.counting if survey.open}
    labels = {job.labels[one] for one in still}
    assert labels
    assert {one.open for one in found} == {True, False}
    assert all(one.open == (one.survey in labels) for one in found)


def test_wide_signs_keep_the_columns(job: Job, found: tuple[Glance, ...]) -> None:
    wide = replace(found[3], key=("\u96a7\u9053", "L-R"))
    lines = [line[0][0] for line in glance_lines([wide, *found[:3]], job.route, 80)]
    assert {cell_width(line) for line in lines} == {80}
    assert len({cell_width(line[: line.index("L-")]) for line in lines[1:]}) == 1
    assert cut("\u96a7\u9053\u96a7", 4) == "\u96a7\u2026 "


def test_the_newest_readings_alone_say_of_speeding_up_what_all_of_them_say(job: Job) -> None:
    """Whatever else they share with earlier ones: a free constant takes it up."""
    for key in (("S08", "L-R"), ("S06", "L1-R1"), ("S02", "R-K")):
        story = job.account.stories[key]
        bends = []
        for last in (0, max(WINDOWS)):
            made = course_of(story, faces_of(job.route, ()), {}, until=END, last=last)
            assert made is not None
            bends.append(speeding_up(made.course))
        every, newest = bends
        assert every is not None
        assert newest is not None
        assert len(made.course) == max(WINDOWS)
        assert (newest.readings, newest.z) == (every.readings, pytest.approx(every.z, rel=1e-6))


def test_where_it_would_be_cut_the_heading_gives_way_first(job: Job, found: tuple[Glance, ...]) -> None:
    whole = as_text(glance_lines(found, job.route, 200))
    fits = max(len(line.rstrip()) for line in whole.splitlines())
    assert "since start" in as_text(glance_lines(found, job.route, fits))
    short = as_text(glance_lines(found, job.route, fits - 1))
    assert "since start" not in short
    assert "▲ speeding up, closing" in short
    assert "…" not in short


def test_a_chord_that_is_not_read_any_more_comes_last_with_the_reason() -> None:
    """It has been read, and can still be looked at; no level of it leads the list."""
    made = Shelf(route_with())
    for place in range(3):
        made.survey(float(place), Read("L-R", f"{8000 - 20 * place}"), Read("L-K", "6020"))
    made.journal(4.0, ("chord", {"station": "A", "chord": "L-R", "event": "retired", "at": stamp(day(3.5))}))
    before, after = (glance(made.job, day(at)) for at in (3.0, 5.0))
    assert before[0].key == ("A", "L-R")
    assert not any(one.gone for one in before)
    assert after[-1].key == ("A", "L-R")
    assert said(after[-1])[0] == "retired"
    assert not {"overdue", "due today"} & set(said(after[-1]))
    assert len(after) == len(before)
