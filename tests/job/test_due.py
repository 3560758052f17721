"""What must be read today: the frequency table, the shorter interval, walking order, and the time it takes."""

from __future__ import annotations

import json
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from msgspec import Struct
from msgspec.structs import replace

from fieldtui.cli import main
from fieldtui.job.due import Due, DueList, due, shift_end
from fieldtui.job.due_told import due_json, due_lines, due_sentence, duration
from fieldtui.job.faces import FaceAt, Faces
from fieldtui.job.walking_time import seconds_a_chord
from fieldtui.reduction import Figures, Length, reduce
from fieldtui.route import Route, load_route
from harness.jobs import Ticking, begin, book_calm, lay, with_past

TABLE = """\
excavated_width = 10.0
shift_start = "06:00"
[[face]]
name = "top"
advances = "up"
[[frequency]]
within = 1.0
every_hours = 12
[[frequency]]
within = 2.0
every_hours = 24
[[frequency]]
within = 50.0
every_hours = 72
[[frequency]]
rate_above = 1.0
every_hours = 24
[[frequency]]
rate_above = 5.0
every_hours = 8
"""
NOW = datetime(2031, 5, 10, 9, 0, tzinfo=UTC)


class Read(Struct, frozen=True):
    """As much of a reading as what is due needs to know."""

    key: tuple[str, str]
    time: datetime
    length: Length
    survey: str = "s"
    doubtful: bool = False
    thing: tuple[str, str, int] = ("T1", "X1", 0)

    @property
    def booking(self) -> Any:
        return SimpleNamespace(is_earlier=False)


@pytest.fixture
def route(tmp_path: Path) -> Route:
    path = lay(tmp_path, more=TABLE)
    text = path.read_text().replace("chainage = 100.0", 'chainage = 100.0\nface = "top"')
    path.write_text(text)
    return load_route(path)


def length(route: Route, dial: str) -> Length:
    figures = Figures(300, (Decimal(dial),), Decimal(20))
    return reduce(figures, route.tapes[0], route.extensometers[0], route.uncertainty, reading=("s", dial))


def reads(route: Route, hours_ago: float, *, rate: float = 0.0, doubtful: bool = False) -> list[Read]:
    """Every chord read twice, two days apart and so many hours before now, moving at that rate between."""
    made = []
    for days, dial in ((2.0, 20.0), (0.0, 20.0 - 2 * rate)):
        at = NOW - timedelta(hours=hours_ago, days=days)
        for place, (station, chord) in enumerate(route.walk()):
            figure = length(route, f"{dial:.3f}")
            late = at + timedelta(minutes=3 * place)
            made.append(Read((station.name, chord.name), late, figure, f"s{days}", doubtful and days == 0))
    return made


def faces(route: Route, *chainages: tuple[float, float]) -> Faces:
    """Chainages booked so many hours before now."""
    booked = tuple(FaceAt(NOW - timedelta(hours=hours), chainage, "s") for hours, chainage in chainages)
    return Faces(route, {"top": booked})


def of(told: DueList, station: str, chord: str = "L-R") -> Due:
    return next(one for one in told.chords if (one.station, one.chord) == (station, chord))


@pytest.mark.parametrize(
    ("chainage", "every", "because"),
    [
        (105.0, "12", "face within 1 width"),
        (110.0, "12", "face within 1 width"),
        (110.1, "24", "face within 2 widths"),
        (95.0, "12", "face within 1 width"),
        (150.0, "72", "face within 50 widths"),
        (50.0, "72", "face within 50 widths"),
    ],
)
def test_the_distance_from_the_face_gives_the_interval(route: Route, chainage: float, every: str, because: str) -> None:
    told = of(due(route, reads(route, 10), faces(route, (30, 40.0), (5, chainage)), NOW), "A")
    assert (told.every_hours, told.because) == (Decimal(every), because)
    assert told.distance == pytest.approx(chainage - 100)


@pytest.mark.parametrize(("rate", "every"), [(0.5, "72"), (1.2, "24"), (-1.2, "24"), (6.0, "8")])
def test_the_rate_gives_the_interval_whichever_way_it_moves(route: Route, rate: float, every: str) -> None:
    told = of(due(route, reads(route, 10, rate=rate), faces(route, (5, 150.0)), NOW), "A")
    assert told.every_hours == Decimal(every)
    assert told.rate == pytest.approx(abs(rate), abs=1e-3)


def test_another_tape_is_no_movement(route: Route) -> None:
    """Two tapes in turn, one of which reads 30 mm longer: the last one's own earlier readings tell the rate."""
    before = [replace(one, thing=("T2", "X1", 0), length=length(route, "49.9")) for one in reads(route, 9)]
    both = sorted([*reads(route, 40), *before], key=lambda one: one.time)
    told = of(due(route, both, faces(route, (5, 150.0)), NOW), "A")
    assert told.rate == pytest.approx(0.0, abs=1e-6)


def test_the_shorter_of_the_two_counts(route: Route) -> None:
    near = due(route, reads(route, 10, rate=1.2), faces(route, (5, 105.0)), NOW)
    assert of(near, "A").every_hours == Decimal(12)
    fast = due(route, reads(route, 10, rate=6.0), faces(route, (5, 105.0)), NOW)
    assert (of(fast, "A").every_hours, of(fast, "A").because) == (Decimal(8), "moving 5.0 mm/day or more")


def test_a_face_that_was_never_booked_makes_the_shortest_distance_count(route: Route) -> None:
    told = of(due(route, reads(route, 10), Faces(route), NOW), "A")
    assert (told.every_hours, told.because) == (Decimal(12), "where face top is was never booked")


def test_a_station_without_a_face_goes_by_its_rate_alone(route: Route) -> None:
    still = of(due(route, reads(route, 10), faces(route, (5, 105.0)), NOW), "B")
    assert (still.when, still.because) == ("no interval", "no line of the frequency table applies")
    moving = of(due(route, reads(route, 10, rate=1.2), faces(route, (5, 105.0)), NOW), "B")
    assert moving.every_hours == Decimal(24)


@pytest.mark.parametrize(("hours_ago", "when"), [(13, "overdue"), (12.1, "overdue"), (11.9, "today"), (0.5, "today")])
def test_overdue_or_today(route: Route, hours_ago: float, when: str) -> None:
    assert of(due(route, reads(route, hours_ago), faces(route, (5, 105.0)), NOW), "A").when == when


def test_today_ends_with_the_shift_day(route: Route) -> None:
    """The shift day begins at 06:00: what falls before tomorrow's 06:00 is today's."""
    assert shift_end(route, NOW) == datetime(2031, 5, 11, 6, 0, tzinfo=UTC)
    assert shift_end(route, NOW.replace(hour=5)) == datetime(2031, 5, 10, 6, 0, tzinfo=UTC)
    table = faces(route, (5, 115.0))
    assert of(due(route, reads(route, 3.1), table, NOW), "A").when == "today"
    assert of(due(route, reads(route, 2.9), table, NOW), "A").when == "later"


def test_never_read_is_due_at_once(route: Route) -> None:
    told = due(route, [], faces(route, (5, 150.0)), NOW)
    assert [one.when for one in told.chords] == ["today"] * 3
    assert {one.because for one in told.chords} == {"never read"}
    assert told.seconds is None


def test_a_doubtful_reading_does_not_count_as_read(route: Route) -> None:
    told = of(due(route, reads(route, 1, doubtful=True), faces(route, (5, 105.0)), NOW), "A")
    assert told.when == "overdue"
    assert told.last == NOW - timedelta(hours=49)


def test_what_comes_after_now_is_not_known_yet(route: Route) -> None:
    assert of(due(route, reads(route, -5), faces(route, (-5, 300.0)), NOW), "A").last == NOW - timedelta(hours=43)


def test_walking_order_retired_chords_and_lost_anchors(route: Route) -> None:
    table = faces(route, (5, 105.0))
    told = due(route, reads(route, 13), table, NOW)
    assert [(one.station, one.chord) for one in told.chords] == [("A", "L-R"), ("A", "L-K"), ("B", "L-R")]
    fewer = due(route, reads(route, 13), table, NOW, retired={("A", frozenset("LK"))})
    assert [(one.station, one.chord) for one in fewer.chords] == [("A", "L-R"), ("B", "L-R")]
    lost = of(due(route, reads(route, 13), table, NOW, lost={("A", "K")}), "A", "L-K")
    assert (lost.when, lost.because) == ("no interval", "anchor K lost")


def test_the_time_it_takes_comes_from_past_surveys(route: Route) -> None:
    told = due(route, reads(route, 13), faces(route, (5, 105.0)), NOW)
    assert told.seconds_a_chord == pytest.approx(180)
    assert told.seconds == pytest.approx(180 * len(told.to_read))


def test_pauses_and_sheets_with_one_time_do_not_count(route: Route) -> None:
    figure = length(route, "20")

    def at(*minutes: float, survey: str = "s") -> Iterator[Any]:
        for minute in minutes:
            yield Read(("A", "L-R"), NOW + timedelta(minutes=minute), figure, survey)

    assert seconds_a_chord(at(0, 2, 4, 90, 92)) == pytest.approx(120)
    assert seconds_a_chord(at(0, 0, 0)) is None
    assert seconds_a_chord([*at(0, 2), *at(500, 506, survey="b"), *at(900, 904, survey="c")]) == pytest.approx(240)
    many = [one for day in range(12) for one in at(1440 * day, 1440 * day + (9 if day < 6 else 3), survey=str(day))]
    assert seconds_a_chord(many) == pytest.approx(180), "the newest ten: four slow, six quick"


def test_in_words(route: Route) -> None:
    told = due(route, reads(route, 13), faces(route, (5, 105.0)), NOW)
    lines = due_lines(told, route, NOW)
    assert lines[0] == "To be read today, in walking order:"
    assert lines[1] == "  A L-R  overdue by 1 h  (face within 1 width)"
    assert lines[3] == "2 chords, 2 of them overdue, about 6 min by past surveys."
    assert lines[4] == "Without an interval: B L-R (no line of the frequency table applies)."
    assert due_sentence(told) == "To be read today: 2 chords, 2 overdue, about 6 min."
    soon = due(route, reads(route, 10), faces(route, (5, 105.0)), NOW)
    assert due_lines(soon, route, NOW)[1] == "  A L-R  in 2 h  (face within 1 width)"
    assert due_lines(soon, route, NOW + timedelta(minutes=100))[1] == "  A L-R  in 20 min  (face within 1 width)"
    later = due(route, reads(route, 3), faces(route, (5, 300.0)), NOW)
    assert due_lines(later, route, NOW)[:2] == [
        "Nothing has to be read today.",
        "Next: A L-R, 13 May 06:00.",
    ]
    assert due_sentence(later) == "Nothing has to be read today."


def test_for_a_program(route: Route) -> None:
    told = due_json(due(route, reads(route, 13), faces(route, (5, 105.0)), NOW), NOW)
    assert told["at"] == "2031-05-10T09:00:00Z"
    first = told["chords"][0]
    assert (first["station"], first["chord"], first["due"], first["every_hours"]) == ("A", "L-R", "overdue", 12.0)
    assert first["at"] == "2031-05-10T08:00:00Z"


@pytest.mark.parametrize(
    ("seconds", "told"), [(20, "1 min"), (3540, "59 min"), (3600, "1 h 00 min"), (7500, "2 h 05 min")]
)
def test_a_span_of_work(seconds: float, told: str) -> None:
    assert duration(seconds) == told


def test_the_command_tells_a_person_and_a_program(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Exit status 1 where something is overdue, 0 where nothing is."""
    path = lay(tmp_path, more="[[frequency]]\nrate_above = 0.0\nevery_hours = 24\n")
    assert main(["due", str(path)]) == 0
    assert "never read" in capsys.readouterr().out
    with_past(path, before=datetime.now(UTC) - timedelta(days=3), surveys=2)
    assert main(["due", str(path)]) == 1
    assert "3 of them overdue" in capsys.readouterr().out
    assert main(["due", str(path), "--json"]) == 1
    told = json.loads(capsys.readouterr().out)
    assert [one["due"] for one in told["chords"]] == ["overdue"] * 3
    book_calm(begin(path, Ticking(datetime.now(UTC) - timedelta(hours=1))))
    assert main(["due", str(path)]) == 0
    assert "overdue" not in capsys.readouterr().out
