"""The control frame's chart on paper: drawn for each tape with extensometer, and said in words."""

from __future__ import annotations

import pytest

from fieldtui.handover.report.instrument_plots import frame_plot
from fieldtui.handover.report.words import Words
from fieldtui.job.instrument import instruments_of
from fieldtui.reduction.chart import SET
from harness.shelf import Read, Shelf, day, route_with


@pytest.fixture(scope="module")
def job():
    shelf = Shelf(route_with())
    frames = [("5000.02", "4999.98", "5000.03")[place % 3] for place in range(SET)]
    for place, frame in enumerate([*frames, "5000.40", "5000.00"]):
        shelf.survey(place, Read("L-R", "8000.00"), frame=frame)
    shelf.survey(40, Read("L-R", "8000.00"), frame="5002.00", tape="T2")
    shelf.survey(41, Read("L-R", "8000.00"), tape="T2", extensometer="X2")
    return shelf.job


def test_what_is_drawn_is_said_in_words_and_from_which_set_the_limits_are(job):
    words = Words(job.route)
    first, second, third = (frame_plot(page, words, 1) for page in instruments_of(job, day(50)).pages)
    assert "Tape T1 with extensometer X1: control frame, survey by survey. 22 surveys, 1 outside" in first.text
    assert "the mean of the first 20 surveys, 2031-05-04 to 2031-05-23" in first.caption
    assert first.svg.startswith("<svg")
    assert "1 of the 20 surveys are in" in second.caption
    assert third is None, "the frame was not read with it"


def test_as_at_an_earlier_time_later_surveys_are_not_drawn(job):
    (page,) = instruments_of(job, day(5.5)).pages
    assert "6 surveys" in frame_plot(page, Words(job.route), 1).text
