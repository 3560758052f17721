"""What is due of a job: its readings, its faces, and what journals declare of chords and anchors."""

from __future__ import annotations

from fieldtui.job.due import Due, due_of
from harness.shelf import Read, Shelf, day, stamp


def read(shelf: Shelf, *days: float) -> Shelf:
    for one in days:
        shelf.survey(one, Read("L-R", "8000"), Read("L-K", "6000"))
    return shelf


def told(shelf: Shelf, at: float) -> dict[str, Due]:
    return {one.chord: one for one in due_of(shelf.job, day(at)).chords if one.station == "A"}


class TestChords:
    def test_a_retired_chord_is_no_longer_in_the_list(self, shelf):
        read(shelf, 0, 1)
        shelf.journal(2, ("chord", {"station": "A", "chord": "R-L", "event": "retired", "at": stamp(day(1.5))}))
        assert "L-R" in told(shelf, 1.4)
        assert "L-R" not in told(shelf, 1.6)
        shelf.journal(4, ("chord", {"station": "A", "chord": "L-R", "event": "added", "at": stamp(day(3))}))
        assert "L-R" in told(shelf, 3.1)

    def test_last_is_the_newest_reading_of_any_survey(self, shelf):
        assert told(read(shelf, 1, 0), 3)["L-R"].last == day(1).replace(minute=day(1).minute + 5)


class TestAnchors:
    def test_a_lost_anchor_leaves_its_chords_without_an_interval_until_it_is_replaced(self, shelf):
        read(shelf, 0, 1)
        shelf.journal(2, ("anchor", {"station": "A", "anchor": "K", "event": "lost", "at": stamp(day(1.5))}))
        assert told(shelf, 2)["L-K"].because == "anchor K lost"
        assert told(shelf, 1.4)["L-K"].because != "anchor K lost"
        assert told(shelf, 2)["L-R"].because != "anchor K lost"
        shelf.journal(4, ("anchor", {"station": "A", "anchor": "K", "event": "replaced", "at": stamp(day(3))}))
        assert told(shelf, 3.5)["L-K"].because != "anchor K lost"

    def test_a_struck_anchor_is_still_read(self, shelf):
        read(shelf, 0, 1)
        shelf.journal(2, ("anchor", {"station": "A", "anchor": "K", "event": "struck", "at": stamp(day(1.5))}))
        assert told(shelf, 2)["L-K"].because != "anchor K lost"
