"""The instruments of a job on the screen, reached from the start page by a number."""

from __future__ import annotations

from datetime import timedelta

import pytest

from fieldtui.job.instrument import before_survey, instruments_of
from fieldtui.reduction.chart import SET
from fieldtui.tui.instrument_page import InstrumentDesk
from fieldtui.tui.lines import text_of, width_of
from harness.jobs import begin, book_calm, lay
from harness.shelf import Read, Shelf, day, route_with, stamp

MORE = (
    '[[care]]\nwhat = "dial battery"\nevery_days = 30\n[[care]]\nwhat = "tape wiped"\nevery_days = 300\n[uncertainty]'
)
CHANGES = (
    ("[uncertainty]", MORE),
    ('serial = "X1"', 'serial = "X1"\ncertificate_until = 2031-05-20'),
    ('serial = "T2"', 'serial = "T2"\ncertificate_until = 2031-06-20'),
)


@pytest.fixture(scope="module")
def job():
    shelf = Shelf(route_with(*CHANGES))
    frames = [("5000.02", "4999.98", "5000.03")[place % 3] for place in range(SET)]
    for place, frame in enumerate([*frames, "5000.40", "5000.00"]):
        shelf.survey(place, Read("L-R", "8000.00"), frame=frame)
    shelf.journal(3, ("care", {"what": "tape wiped", "at": stamp(day(3))}))
    return shelf.job


def leafed(job, width: int = 80, height: int = 24) -> list[str]:
    desk = InstrumentDesk(job, instruments_of(job, day(SET + 5)), lambda: None)
    pages = []
    while (page := text_of(desk.draw(width, height))) not in pages:
        assert {width_of(line) for line in desk.draw(width, height)} == {width}
        assert len(desk.draw(width, height)) == height
        pages.append(page)
        desk.press("enter", None)
    return pages


def test_a_chart_of_each_pair_with_the_set_its_limits_are_from(job):
    page = leafed(job)[0]
    assert "Tape T1 with extensometer X1: 22 surveys" in page
    assert "frozen from the first 20 surveys, 04 May 2031 to 23 May 2031, by" in " ".join(page.split())
    assert "▲" in page


def test_which_surveys_are_in_doubt_and_why_and_which_are_marked(job):
    pages = "\n".join(leafed(job))
    assert "day 20 T1: control frame beyond its limit at the start; control frame" in pages
    assert "day 17 T1 to day 21 T1, 5 surveys: certificate of extensometer X1 ran out" in pages


def test_repeatability_care_and_certificates(job):
    pages = "\n".join(leafed(job))
    assert "Extensometer X1: 0.05 mm stated" in pages
    assert "AB               0.000  (0.000 to 0.000, 20 readings)  smaller than stated" in pages
    assert "dial battery, every 30 days: never booked\n     ▲ due" in pages
    assert "tape wiped, every 300 days: last 07 May 2031 by CD\n     due 2032-03-02" in pages
    assert "extensometer X1: until 2031-05-20: ■ has run out" in pages
    assert "tape T2: until 2031-06-20: ▲ runs out soon" in pages


def test_what_is_due_is_said_before_a_survey(job):
    assert before_survey(job, day(SET + 5)) == (
        "certificate of tape T2 runs out on 2031-06-20",
        "certificate of extensometer X1 ran out on 2031-05-20",
        "dial battery: never booked",
    )
    assert before_survey(job, day(0) - timedelta(days=30))[0] == "dial battery: never booked"


@pytest.mark.parametrize(("width", "height"), [(40, 12), (80, 24), (132, 50)])
def test_any_window_is_filled_exactly(job, width, height):
    assert leafed(job, width, height)


def test_a_route_without_frame_and_a_job_without_surveys(tmp_path):
    from fieldtui.job import load_job, logs_folder
    from fieldtui.route import load_route

    path = lay(tmp_path)
    route = load_route(path)
    empty = load_job(route, logs_folder(route))
    assert "Nothing was read with any instrument yet." in leafed(empty)[0]
    book_calm(begin(path))
    assert "The route has no control frame" in leafed(load_job(route, logs_folder(route)))[0]
