"""Movement drawn in text, held to drawings that were looked at."""

from __future__ import annotations

from math import exp

import pytest
from movement.pictures import check_drawing
from msgspec.structs import replace

from fieldtui.job import Job
from fieldtui.job.faces import Faces
from fieldtui.movement.canvas import Canvas, as_text
from fieldtui.movement.chart import Chart, Point, draw_chart, y_span
from fieldtui.movement.charts import face_chart, least_span, time_chart
from fieldtui.movement.review import review
from fieldtui.route import METRIC, US

DAYS = [0, 1, 2, 3, 4, 6, 8, 10, 13, 16, 20, 24, 28, 33, 38]


def closing(day: float) -> float:
    return -12.0 * (1 - exp(-day / 7))


POINTS = [Point(day, closing(day) + (0.3 if place % 2 else -0.2), 0.6) for place, day in enumerate(DAYS)]
CHART = Chart(
    POINTS,
    unit="mm",
    x_name="days",
    x_ticks=[(0, "0"), (10, "10"), (20, "20"), (30, "30")],
    levels=[("notice", -10.0), ("action", -30.0), ("opening", 5.0)],
    joins=[18.0],
    events=[(5.0, "05 May blast"), (26.0, "26 May bench")],
    curve=[(day, closing(day)) for day in range(39)],
    curve_name="exponential",
)


@pytest.mark.parametrize(("width", "height"), [(80, 24), (80, 16), (60, 14), (40, 12), (28, 9)])
def test_sizes(width: int, height: int) -> None:
    check_drawing(f"chart-{width}x{height}", draw_chart(CHART, width, height), width, height)


def test_doubtful_readings_have_a_mark_of_their_own() -> None:
    doubted = replace(CHART, points=[*POINTS[:6], Point(7.0, -15.0, 0.6, doubtful=True), *POINTS[6:]])
    drawn = draw_chart(doubted, 80, 20)
    check_drawing("chart-doubtful", drawn, 80, 20)
    assert "○ doubtful" in as_text(drawn)


def test_a_doubtful_reading_far_off_does_not_press_the_others_together() -> None:
    """A hole misread by one: told below the drawing, and the rest is drawn as without it."""
    doubted = replace(CHART, points=[*POINTS, Point(7.0, -37.0, 0.6, doubtful=True)])
    assert "○ doubtful -37, below the drawing" in as_text(draw_chart(doubted, 80, 20))
    assert y_span(doubted) == y_span(CHART)
    only = replace(CHART, points=[replace(point, doubtful=True) for point in POINTS])
    assert as_text(draw_chart(only, 80, 20)).count("○") > 10


def test_readings_of_an_open_survey_have_a_mark_of_their_own() -> None:
    last = replace(POINTS[-1], open=True)
    drawn = as_text(draw_chart(replace(CHART, points=[*POINTS[:-1], last]), 80, 20))
    assert drawn.count("◇") == 2
    assert "◇ survey still open" in drawn
    assert "◇" not in as_text(draw_chart(CHART, 80, 20))


def test_an_axis_with_a_floor_ends_there_and_bars_stay_in_the_drawing() -> None:
    points = [Point(0, 1.0, 3.0), Point(5, 4.0, 30.0), Point(9, 2.0, 1.0)]
    chart = Chart(points, "d/mm", "", floor=0.0)
    drawn = as_text(draw_chart(chart, 60, 12)).splitlines()
    assert (y_span(chart).low, y_span(chart).high) == (0.0, pytest.approx(4.6))
    assert not any(set(line) & set("+-") for line in drawn[:-1])
    assert drawn[-1].strip() == "d/mm"


def test_a_chord_at_rest_is_not_blown_up_to_fill_the_drawing() -> None:
    still = Chart([Point(day, 0.05 * (-1) ** day, 0.25) for day in range(12)], "mm", "days", [(0, "0"), (10, "10")])
    check_drawing("chart-at-rest", draw_chart(still, 60, 10), 60, 10)


def test_too_little_to_draw_is_said() -> None:
    assert "fewer than two readings" in as_text(draw_chart(replace(CHART, points=POINTS[:1]), 80, 20))
    assert "too small a window" in as_text(draw_chart(CHART, 27, 20))
    assert len(draw_chart(CHART, 10, 3)) == 3


@pytest.mark.parametrize("width", [20, 28, 33, 50, 79, 80, 132])
@pytest.mark.parametrize("height", [1, 7, 8, 12, 24, 50])
def test_any_size_is_filled_exactly(width: int, height: int) -> None:
    drawn = draw_chart(CHART, width, height)
    assert len(drawn) == height
    assert {sum(len(text) for text, _ in line) for line in drawn} == {width}


def test_readings_are_drawn_over_everything_else() -> None:
    text = as_text(draw_chart(CHART, 80, 24))
    assert text.count("●") == len(POINTS)


def test_a_reading_that_counts_is_drawn_over_a_doubtful_one() -> None:
    both = replace(CHART, points=[*POINTS, Point(38.0, POINTS[-1].y, 0.6, doubtful=True)])
    assert as_text(draw_chart(both, 80, 24)).count("●") == len(POINTS)


def test_closing_goes_down() -> None:
    rows = as_text(draw_chart(CHART, 80, 24)).splitlines()
    first = next(row for row in rows if "●" in row)
    assert first.index("●") == 10


def test_a_level_that_is_far_off_is_told_and_not_drawn() -> None:
    text = as_text(draw_chart(CHART, 80, 24))
    assert "╌ notice -10 ╌" in text
    assert "action -30, below the drawing" in text


def test_dots_fall_where_they_should() -> None:
    canvas = Canvas(2, 1)
    canvas.dot(0, 0)
    canvas.dot(3, 3)
    canvas.dot(9, 9)
    assert as_text(canvas.lines()) == "⠁⢀"
    canvas.sign(0, 0, "x", "main")
    assert canvas.lines() == [[("x", "main"), ("⢀", "")]]
    assert not canvas.free(0, 0, 1)
    assert canvas.free(1, 0, 1)
    assert not canvas.free(1, 0, 2)


def test_a_job_s_chord_against_time(job: Job, faces: Faces) -> None:
    told = review(job, ("S02", "L-R"), faces=faces)
    assert told is not None
    fitting = next(one for one in told.answers if one.answers and one.fits)
    chart = time_chart(job, ("S02", "L-R"), 80, told.chord, fitting)
    rows = [row for row in job.history() if row.key == ("S02", "L-R") and row.length is not None]
    assert len(chart.points) == len(rows)
    last = rows[-1].since_baseline
    assert last is not None
    assert (chart.points[-1].y, chart.points[-1].u) == pytest.approx((float(last.value), 2 * last.u))
    assert chart.points[-1].x == (rows[-1].booked.time - rows[0].booked.time).total_seconds()
    assert len(chart.joins) == 1
    assert {name for name, _ in chart.levels} == {"notice", "action"}
    assert ("notice", -15.0) in chart.levels
    assert ("notice", 5.0) in chart.levels
    assert chart.curve[0][0] == pytest.approx(0.0, abs=1.0)
    assert chart.curve[-1][1] == pytest.approx(chart.points[-1].y, abs=0.5)


def test_a_job_s_chord_against_the_face(job: Job, faces: Faces) -> None:
    told = review(job, ("S09", "L-R"), faces=faces)
    assert told is not None
    answer = next(one for one in told.answers if one.law.uses_face)
    chart = face_chart(job, ("S09", "L-R"), faces, 80, told.chord, answer)
    station = job.route.station("S09")
    assert station is not None
    last = [row for row in job.history() if row.key == ("S09", "L-R") and row.counts][-1]
    assert chart.points[-1].x == faces.distance(station, last.booked.time, last.booked.survey)
    assert all(before.x <= after.x for before, after in zip(chart.points, chart.points[1:], strict=False))
    assert chart.curve[-1][0] == pytest.approx(chart.points[-1].x)
    assert chart.curve[-1][1] == pytest.approx(chart.points[-1].y, abs=0.5)


def test_a_chord_that_was_never_read_has_an_empty_chart(job: Job) -> None:
    assert not time_chart(job, ("S99", "L-R"), 80).points


def test_a_job_in_inches_is_drawn_in_its_own_size() -> None:
    """A level of a quarter of an inch keeps its figure, and a movement of a tenth fills the drawing."""
    points = [Point(day, -0.1 * day / 10, 0.004) for day in range(11)]
    chart = Chart(points, "in", "days", levels=[("notice", -0.125), ("action", -0.75)], least=least_span(US))
    drawn = as_text(draw_chart(chart, 80, 20))
    assert "notice -0.125" in drawn
    assert "action -0.75, below the drawing" in drawn
    assert y_span(chart).size < 0.2
    assert (least_span(METRIC), least_span(US)) == (1.0, 0.04)


def test_segment_joins_events_and_open_surveys_stand_on_both_axes(job: Job, faces: Faces) -> None:
    """S06's L1-R1: a new tape, a new stage, read in the survey that is still open."""
    key = ("S06", "L1-R1")
    by_date, by_face = time_chart(job, key, 80), face_chart(job, key, faces, 80)
    station = job.route.station("S06")
    assert station is not None
    (join,) = (one.readings[0].time for one in job.account.stories[key].segments[1:])
    for chart in (by_date, by_face):
        assert [point.open for point in chart.points] == [False] * (len(chart.points) - 1) + [True]
        assert len(chart.joins) == 1
        assert [name[-5:] for _, name in chart.events] == ["stage"]
    assert by_face.joins[0] == faces.distance(station, join)
    assert by_face.points[0].x < by_face.joins[0] < by_face.points[-1].x


def flat(values: list[float]) -> Chart:
    """A reading in nearly every column, at each of these heights."""
    points = [Point(place, value, 0.01) for place in range(80) for value in values]
    return Chart([Point(-9.0, 0.0), *points], "mm", "", levels=[("notice", -10.0)])


def test_the_name_of_a_level_is_read_where_readings_lie_on_its_line() -> None:
    """It goes to the line above or below; where these are full too, below the drawing."""
    beside = as_text(draw_chart(flat([-10.0]), 80, 16)).splitlines()
    (named,) = [place for place, line in enumerate(beside) if "  notice -10" in line]
    (drawn,) = [place for place, line in enumerate(beside) if "╌●" in line]
    assert abs(named - drawn) == 1
    full = as_text(draw_chart(flat([-7.0, -8.0, -9.0, -10.0, -11.0, -12.0]), 80, 10)).splitlines()
    assert not any("notice" in line for line in full[:-1])
    assert "╌ notice -10" in full[-1]


def test_two_levels_on_one_line_are_both_named() -> None:
    close = replace(CHART, levels=[("notice", -10.0), ("second", -10.1)])
    drawn = as_text(draw_chart(close, 80, 16))
    assert "notice -10 " in drawn
    assert "second -10.1" in drawn


def test_what_happened_before_a_chord_was_read_is_in_neither_drawing(job: Job, faces: Faces) -> None:
    """By the face too: it stood there when the first reading was taken, and hours before."""
    for key in {row.key for row in job.history()}:
        by_date, by_face = time_chart(job, key, 80), face_chart(job, key, faces, 80)
        assert {name for _, name in by_face.events} <= {name for _, name in by_date.events}, key
