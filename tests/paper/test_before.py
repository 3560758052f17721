"""What is known before a row: the job's own account of the readings before it, however it was come by."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from fieldtui.job import Reading
from fieldtui.job.account import ground_of_chord
from fieldtui.job.rules import Rules
from fieldtui.paper.growing import GrowingChord
from fieldtui.paper.tracks import STRETCH, CarriedKnown, Tracks
from fieldtui.reduction import Figures, Ground, Known, reduce
from fieldtui.route import Route, load_route
from fieldtui.survey import Booking, Target
from harness.jobs import lay
from harness.sheets import DAY

KEY = ("A", "L-R")


@pytest.fixture(scope="module")
def route(tmp_path_factory: pytest.TempPathFactory) -> Route:
    path = lay(tmp_path_factory.mktemp("route"))
    text = path.read_text()
    tape = text[text.index("[[tape]]") : text.index("[[extensometer]]")]
    path.write_text(text.replace("[[extensometer]]", tape.replace("T1", "T2") + "[[extensometer]]", 1))
    return load_route(path)


def reading(route: Route, place: int, hours: float, tape: str, dial: float, doubtful: bool, survey: int) -> Reading:
    used = route.tape(tape)
    assert used is not None
    figures = Figures(319, (Decimal(f"{dial:.2f}"),) * 3, Decimal(12))
    booking = Booking(Target(*KEY, place), tape, "X1", outcome="kept" if doubtful else "read")
    name = f"s{survey}"
    length = reduce(figures, used, route.extensometers[0], route.uncertainty, reading=(name, booking.target))
    note = "looked wrong" if doubtful else ""
    at = DAY + timedelta(hours=hours)
    return Reading(booking, length, at, name, name, doubtful, note, key=KEY, counts=not doubtful)


ONE = st.tuples(
    st.floats(0.5, 60), st.sampled_from(["T1", "T1", "T1", "T2"]), st.floats(20, 25), st.booleans(), st.integers(0, 1)
)


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@example([(1.0, "T1", 20.0, True, 0), *[(1.0, "T1", 20.0, False, 0)] * 3], True, 1)
@given(several=st.lists(ONE, min_size=1, max_size=12), doubts=st.booleans(), sets=st.integers(1, 2))
def test_reading_by_reading_it_is_what_the_job_makes_of_all_of_them(
    route: Route, several: list[tuple[float, str, float, bool, int]], doubts: bool, sets: int
) -> None:
    rules = Rules(sets)
    growing = GrowingChord(rules, route, ())
    hours, survey, so_far = 0.0, 0, []
    for place, (passed, tape, dial, doubtful, again) in enumerate(several, 1):
        hours += passed
        survey += 1 - again if place > 1 else 0
        at = DAY + timedelta(hours=hours)
        other = [one for one in so_far if one.survey != f"s{survey}"]
        assert growing.ground(at, f"s{survey}") == ground_of_chord(other, rules, route)
        one = reading(route, place, hours, tape, dial, doubtful and doubts, survey)
        so_far.append(one)
        growing.add(one)
    assert growing.ground(DAY + timedelta(days=999), "") == ground_of_chord(so_far, rules, route)


def test_a_reading_that_comes_late_is_in_its_place(route: Route) -> None:
    several = [reading(route, place, 24 * place, "T1", 24 - place / 10, False, place) for place in range(6)]
    growing, rules = GrowingChord(Rules(1), route, ()), Rules(1)
    for one in (several[0], several[2], several[3], several[1], several[5], several[4]):
        growing.add(one)
        growing.ground(one.time, "")
    for place, one in enumerate(several):
        assert growing.ground(one.time, "") == ground_of_chord(several[:place], rules, route)


def test_two_tapes_read_on_one_day_are_tied_when_the_second_comes_in(route: Route) -> None:
    hours = ((0, "T1"), (24, "T2"), (50, "T1"), (52, "T2"), (76, "T1"))
    several = [reading(route, n, at, tape, 24 - n / 10, False, n) for n, (at, tape) in enumerate(hours)]
    growing, rules = GrowingChord(Rules(1), route, ()), Rules(1)
    for count, one in enumerate(several):
        assert growing.ground(one.time, "") == ground_of_chord(several[:count], rules, route)
        growing.add(one)
    tied = growing.ground(DAY + timedelta(days=99), "")
    assert tied == ground_of_chord(several, rules, route)
    assert tied.segments[1].offset_sources != growing.ground(several[3].time, "").segments[1].offset_sources


def test_what_was_declared_for_later_does_not_end_a_segment_before(route: Route) -> None:
    several = [reading(route, n, 24 * n, "T1", 24 - n / 10, False, n) for n in range(4)]
    replaced = DAY + timedelta(hours=60)
    rules = Rules(1, renewals=((("anchor", "A", "L"), replaced),), ended=(DAY + timedelta(hours=90),))
    growing = GrowingChord(rules, route, several)
    for hours, ended in ((50, [False]), (70, [True]), (80, [True, False]), (95, [True, True])):
        at = DAY + timedelta(hours=hours)
        ground = growing.ground(at, "")
        assert [one.ended for one in ground.segments] == ended, hours
        before = [one for one in several if one.time < at]
        assert ground == ground_of_chord(before, rules, route, at)


def known(route: Route, several: list[Reading], tracks: Tracks | None) -> Known:
    ground = Ground(chords={KEY: ground_of_chord(several, Rules(1), route)})
    return Known(route, ground) if tracks is None else CarriedKnown(route, ground, tracks)


def test_a_track_carried_on_is_the_track_followed_from_the_beginning(route: Route) -> None:
    several = [reading(route, place, 24 * place, "T1", 24 - place / 10, False, place) for place in range(9)]
    tracks = Tracks()
    for count in range(1, len(several) + 1):
        carried, anew = known(route, several[:count], tracks), known(route, several[:count], None)
        assert carried.followed(KEY, "T1", "X1") == anew.followed(KEY, "T1", "X1")
        assert carried.without_last(KEY, "T1", "X1") == anew.without_last(KEY, "T1", "X1")


def test_without_its_last_reading_a_track_heeds_the_stations_other_chords_as_in_the_walk(route: Route) -> None:
    slow = [reading(route, place, 24 * place, "T1", 24 - place / 10, False, place) for place in range(6)]
    fast = [reading(route, place, 24 * place, "T1", 24 - place / 2, False, place) for place in range(6)]
    chords = {key: ground_of_chord(several, Rules(1), route) for key, several in ((KEY, slow), (("A", "L-K"), fast))}
    anew, carried = Known(route, Ground(chords=chords)), CarriedKnown(route, Ground(chords=chords), Tracks())
    alone = known(route, slow, None).without_last(KEY, "T1", "X1")
    assert carried.without_last(KEY, "T1", "X1") == anew.without_last(KEY, "T1", "X1") != alone


def test_a_track_hangs_on_its_readings_and_not_on_how_it_was_come_by(route: Route) -> None:
    several = [reading(route, n, 24 * n, "T1", 24 - n / 100, False, n) for n in range(2 * STRETCH + 5)]
    tracks = Tracks()
    for count in range(1, len(several) + 1, 4):
        known(route, several[:count], tracks).followed(KEY, "T1", "X1")
    carried = known(route, several, tracks).followed(KEY, "T1", "X1")
    assert carried is not None
    assert carried == known(route, several, Tracks()).followed(KEY, "T1", "X1")
    assert carried.track.readings == STRETCH + 5


def test_a_track_is_followed_anew_where_a_reading_in_it_is_another_one(route: Route) -> None:
    several = [reading(route, place, 24 * place, "T1", 24 - place / 10, False, place) for place in range(5)]
    tracks = Tracks()
    known(route, several, tracks).followed(KEY, "T1", "X1")
    doubted = [*several[:2], replace(several[2], doubtful=True, note="x", counts=False), *several[3:4]]
    other = known(route, doubted, tracks).followed(KEY, "T1", "X1")
    assert other == known(route, doubted, None).followed(KEY, "T1", "X1")
    known(route, several, tracks).followed(KEY, "T1", "X1")
    corrected = [*several[:2], reading(route, 2, 48, "T1", 22.5, False, 2), *several[3:]]
    assert known(route, corrected, tracks).followed(KEY, "T1", "X1") == known(route, corrected, None).followed(
        KEY, "T1", "X1"
    )
