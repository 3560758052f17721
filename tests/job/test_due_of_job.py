"""What is due of a job: its readings, its faces, and what journals declare of chords and anchors."""

from __future__ import annotations

from msgspec.structs import replace

from fieldtui.job.due import Due, due_of
from fieldtui.job.due_told import due_json, due_lines
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


class TestWhatIsNotRead:
    def test_a_retired_chord_is_said_and_its_level_is_still_to_be_told(self, shelf):
        """Retiring a chord closes no call: somebody has still to be told."""
        read(shelf, 0)
        shelf.survey(1, Read("L-R", "7950"), Read("L-K", "6000"))
        shelf.journal(2, ("chord", {"station": "A", "chord": "L-R", "event": "retired", "at": stamp(day(1.5))}))
        job = shelf.job
        due = due_of(job, day(2))
        assert due.retired == (("A", "L-R"),)
        calls = job.open_calls()
        lines = due_lines(due, job.route, day(2), calls)
        assert "Retired, not read any more: A L-R." in lines
        assert any(line.startswith("■ Not told yet: A L-R, ") and "since 05 May" in line for line in lines)
        told = due_json(due, day(2), calls)
        assert told["retired"] == [{"station": "A", "chord": "L-R"}]
        assert (told["open_calls"][0]["chord"], told["open_calls"][0]["since"][:10]) == ("L-R", "2031-05-05")
        assert told["open_calls"][0]["untold"] == list(calls[0].tell)

    def test_a_closed_station_is_said_with_its_reason(self, shelf):
        read(shelf, 0)
        job = shelf.job
        first, *others = job.route.stations
        route = replace(job.route, stations=(replace(first, closed=True, note="scaffold"), *others))
        lines = due_lines(due_of(job, day(2)), route, day(2))
        assert f"Closed, not walked: {first.name} (scaffold)." in lines
