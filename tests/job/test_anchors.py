"""Anchors lost and replaced, and stations renamed afterwards: no movement where nothing moved."""

from __future__ import annotations

import pytest

from harness.shelf import Read, Shelf, day, moved, route_with, rows_of, stamp

NEW = 13.0
"""How much longer the chord is with its new anchor, mm."""


def anchor(event, days, station="A"):
    return ("anchor", {"station": station, "anchor": "L", "event": event, "at": stamp(day(days))})


@pytest.fixture
def shelf():
    shelf = Shelf(route_with())
    for days in range(3):
        shelf.survey(days, Read("L-R", f"{8000 - 0.1 * days:.2f}"))
    return shelf


def read_on(shelf, *, station="A"):
    for days in (4, 5):
        shelf.survey(days, Read("L-R", f"{8000 + NEW - 0.1 * days:.2f}", station=station), route=shelf.route)


@pytest.mark.parametrize("event", ["lost", "replaced"])
def test_what_is_read_after_an_anchor_was_lost_or_replaced_goes_on_from_before(shelf, event):
    shelf.journal(2.5, anchor(event, 2.4))
    read_on(shelf)
    assert moved(shelf.job)[1:] == pytest.approx([-0.1, -0.2, -0.2, -0.3])
    assert [row.segment for row in rows_of(shelf.job)] == [1, 1, 1, 2, 2]


def test_the_history_and_a_survey_agree_about_a_chord_whose_anchor_was_lost(shelf):
    shelf.journal(2.5, anchor("lost", 2.4))
    read_on(shelf)
    segment = shelf.job.ground().chord(("A", "L-R")).segment("T1", "X1")
    assert [float(past.length.value) for past in segment.baseline] == [8012.6]
    assert rows_of(shelf.job)[-1].segment == 2


def test_lost_and_then_replaced_is_one_change(shelf):
    shelf.journal(2.5, anchor("lost", 2.4))
    shelf.journal(3, anchor("replaced", 2.9))
    read_on(shelf)
    assert [row.segment for row in rows_of(shelf.job)] == [1, 1, 1, 2, 2]


@pytest.mark.parametrize("written", [2.5, 9])
def test_a_station_renamed_takes_what_was_declared_of_it_along(shelf, written):
    called = "A" if written < 6 else "C"
    shelf.journal(written, anchor("replaced", 2.4, called))
    bench = {"name": "bench", "since": stamp(day(4.5)), "movement": "restarted", "reason": "bench"}
    shelf.journal(written + 0.1, ("baseline", {**bench, "stations": [called]}))
    read_on(shelf)
    shelf.route = route_with(('name = "A"', 'name = "C"'))
    shelf.journal(7, ("renamed", {"old": "A", "new": "C", "at": stamp(day(6))}))
    shelf.survey(8, Read("L-R", f"{8000 + NEW - 0.8:.2f}", station="C"), route=shelf.route)
    rows = rows_of(shelf.job, station="C")
    assert [row.segment for row in rows] == [1, 1, 1, 2, 2, 2]
    assert float(rows[-1].total.value) == pytest.approx(-0.6)
    assert float(rows[-1].since_baseline.value) == pytest.approx(-0.3)
    assert rows[-1].epoch == "bench"


def test_a_name_is_that_of_the_day_it_was_written_on(shelf):
    """The loss is of a later hour than the renaming, and was written before anybody thought of a new name."""
    shelf.journal(2.5, anchor("lost", 3.5))
    shelf.route = route_with(('name = "A"', 'name = "C"'))
    shelf.journal(6, ("renamed", {"old": "A", "new": "C", "at": stamp(day(3))}))
    read_on(shelf, station="C")
    assert [row.segment for row in rows_of(shelf.job, station="C")] == [1, 1, 1, 2, 2]


def test_a_chord_read_once_before_its_anchor_was_replaced_begins_anew_in_the_history_as_in_a_survey():
    shelf = Shelf(route_with())
    shelf.survey(0, Read("L-R", "8000.00"))
    shelf.journal(1, anchor("replaced", 0.9))
    (before,) = shelf.job.ground().chord(("A", "L-R")).segments
    assert before.ended
    shelf.survey(2, Read("L-R", "8013.00"))
    shelf.survey(3, Read("L-R", "8012.90"))
    assert moved(shelf.job) == [None, None, pytest.approx(-0.1)]
    assert rows_of(shelf.job)[1].level is None
