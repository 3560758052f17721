"""A chord's story, ground and calls are made when they are asked for: they are those of the whole job gone through."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from datetime import timedelta
from decimal import Decimal
from pathlib import Path
from random import Random
from shutil import copytree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from fieldtui.job import Job, LiveCalls, Walk, load_job, logs_folder
from fieldtui.job.calls import Call, ChordCalls, Seen, calls_of, in_order, oldest_first, seen_in
from fieldtui.job.doubt import weighed
from fieldtui.job.grounds import Newest
from fieldtui.job.readings import Reading, SurveyReadings
from fieldtui.job.segments import segments
from fieldtui.job.stories import ChordStory, pasts, placed
from fieldtui.reduction import Ground, LevelState
from fieldtui.reduction.known import Known
from fieldtui.route import ChordKey, Level, load_route
from harness.shelf import Read, Shelf, day, route_with, stamp
from harness.year import year

GOLDEN = Path(__file__).parent / "golden"


def walked(folder: Path) -> Job:
    """The job that was walked by keys, from its index."""
    copytree(GOLDEN / "walked", folder)
    route = load_route(folder / "heading.toml")
    load_job(route, logs_folder(route))
    return load_job(route, logs_folder(route))


def renamed() -> Job:
    """A station that was renamed, walked on with its new name, and one of its old name built later."""
    shelf = Shelf(route_with(('name = "A"', 'name = "Old"')))
    for days, length in ((0, "8000"), (1, "7999"), (2, "7998.5")):
        shelf.survey(days, Read("L-R", length, station="Old"), frame=f"500{days}.0")
    now = route_with()
    for days, length in ((4, "7998"), (5, "7997")):
        shelf.survey(days, Read("R-L", length), Read("L-K", "6000"), route=now)
    shelf.survey(6, Read("L-R", "7000", station="Old"))
    shelf.journal(7, ("renamed", {"old": "Old", "new": "A", "at": stamp(day(3))}))
    shelf.route = now
    return shelf.job


def doubtful() -> Job:
    """Readings that were kept for a reason, the first ones too; one is confirmed later; two in one survey."""
    shelf = Shelf(route_with())
    kept = {"outcome": "kept", "reason": "jumped"}
    shelf.survey(0, Read("L-R", "8000", **kept), Read("L-K", "6000"), Read("L-K", "6000.2"))
    shelf.survey(1, Read("L-R", "8025"), Read("L-K", "6001", **kept))
    shelf.survey(2, Read("L-R", "8000.1", tape="T2"), Read("L-K", "6001.1"))
    shelf.survey(3, Read("L-R", "8024.8"), Read("L-K", reason="wet", outcome="blocked"))
    shelf.survey(4, Read("L-R", "8024.6", **kept), frame="5009.0")
    return shelf.job


def long(days: int = 90) -> Job:
    """A chord that was read every day, some readings kept for a reason."""
    chance, shelf = Random(20310504), Shelf(route_with())
    for number in range(days):
        length = f"{8000 - number * 0.05 + chance.gauss(0, 0.1):.2f}"
        doubt = {"outcome": "kept", "reason": "loose"} if chance.random() < 0.1 else {}
        shelf.survey(number, Read("L-R", length, **doubt), *([Read("L-K", "6000.0")] if number > 5 else []))
    return shelf.job


JOBS: dict[str, Callable[[Path], Job]] = {
    "year": lambda folder: year().job,
    "walked": walked,
    "renamed": lambda folder: renamed(),
    "doubtful": lambda folder: doubtful(),
    "long": lambda folder: long(),
}


@pytest.fixture(params=JOBS)
def job(request: pytest.FixtureRequest, tmp_path: Path) -> Job:
    return JOBS[request.param](tmp_path / "job")


def all_at_once(job: Job) -> Mapping[ChordKey, ChordStory]:
    """Every booking of every survey gone through, and put with its chord."""
    account = job.account
    of_chord: dict[ChordKey, list[Reading]] = {}
    for survey in account.surveys:
        held = account._framed.held.get(survey.id, {})
        for one in SurveyReadings(survey, held, job._reductions).of(survey.state.bookings):
            key = job._names.chord(one.key, one.time)
            of_chord.setdefault(key, []).append(replace(one, key=key, label=job.labels[survey.id]))
    return {key: told(job, key, of_chord[key]) for key in sorted(of_chord)}


def told(job: Job, key: ChordKey, readings: list[Reading]) -> ChordStory:
    rules = job.account.rules(key)
    counted = weighed(placed(readings, rules), job.route)
    return ChordStory(key, rules, counted, segments(pasts(counted), rules))


def test_a_story_made_alone_is_the_one_of_the_whole_job_gone_through(job: Job) -> None:
    expected = all_at_once(job)
    assert dict(job.account.stories) == expected
    for key, story in expected.items():
        assert job.account.stories.passing(key).readings == story.readings


def test_a_chords_ground_is_the_same_whichever_was_asked_for_first(job: Job) -> None:
    expected = {key: story.ground for key, story in all_at_once(job).items()}
    keys = list(expected)
    for order in (keys, keys[::-1], Random(7).sample(keys, len(keys))):
        ground = job._account().ground
        for key in order:
            assert ground.chord(key) == expected[key]
        assert ground.chords == expected
    assert ("Nowhere", "L-R") not in job.ground().chords


def test_how_the_chords_began_is_told_without_all_that_came_after(job: Job) -> None:
    whole = Ground(chords={key: story.ground for key, story in all_at_once(job).items()})
    assert list(job._account().ground.beginnings()) == list(whole.beginnings())


def test_a_chord_is_followed_alike_by_its_newest_readings(job: Job) -> None:
    whole = replace(job.ground(), chords={key: story.ground for key, story in all_at_once(job).items()})
    brief, known = Known(job.route, job._account().ground), Known(job.route, whole)
    for key, story in all_at_once(job).items():
        for tape, extensometer, _ in {one.thing for one in story.readings}:
            asked = (key, tape, extensometer)
            assert brief.heeding(*asked) == known.heeding(*asked)
            assert brief.without_last(*asked) == known.without_last(*asked)


class TestYearsOfReadings:
    def test_only_the_newest_are_at_hand(self) -> None:
        ground = long().ground()
        (segment,) = ground.chord(("A", "L-R")).segments
        assert isinstance(segment.readings, Newest)
        assert len(segment.readings) == 90
        assert segment.last() is not None
        Known(route_with(), ground).without_last(("A", "L-R"), "T1", "X1")
        assert segment.readings[-40:][-1] == segment.readings[-1]
        assert not segment.readings.loaded

    def test_the_older_ones_are_read_again_when_they_are_wanted(self) -> None:
        job = long()
        (segment,) = job.ground().chord(("A", "L-R")).segments
        (whole,) = job.account.stories["A", "L-R"].ground.segments
        assert tuple(reversed(segment.readings)) == tuple(reversed(whole.readings))
        for asked in (slice(None), slice(2), slice(-3, None), slice(None, None, -1), slice(5, 80, 7), slice(3, 1)):
            assert tuple(segment.readings[asked]) == tuple(whole.readings[asked])
        for place in (0, 5, 89, -1, -90):
            assert segment.readings[place] == whole.readings[place]
        with pytest.raises(IndexError):
            segment.readings[90]
        assert segment == whole

    def test_as_many_are_at_hand_as_a_rate_looks_back(self) -> None:
        job = long()
        job = replace(job, route=replace(job.route, rate_over_hours=Decimal(24 * 80)))
        (segment,) = job.ground().chord(("A", "L-R")).segments
        newest = next(past for past in reversed(segment.readings) if segment.readings[-1].time - past.time >= eighty)
        assert newest.time == day(9) + timedelta(minutes=5)
        assert not segment.readings.loaded  # type: ignore[attr-defined]


eighty = timedelta(days=80)


def state(what: str) -> LevelState:
    return LevelState("look", "closing", Decimal(5), Decimal(6), 0.3, what)  # type: ignore[arg-type]


@st.composite
def seen(draw: st.DrawFn, first: int, survey: str) -> Seen:
    level = Level("look", None, None, None, "Read again.", ("engineer",))
    states = (state(draw(st.sampled_from(("below", "below", "below", "cannot tell", "above")))),)
    number = draw(st.integers(0, 3))
    at = day(first + draw(st.integers(0, 12)))
    left = draw(st.booleans())
    return Seen(("A", "L-R"), survey or f"s{number}", "", at, number, states, (level,), draw(st.booleans()), left)


@settings(max_examples=400, deadline=None)
@given(st.lists(seen(0, ""), max_size=12), st.lists(seen(6, "own"), max_size=4))
def test_calls_gone_on_with_are_those_of_all_that_was_seen(past: list[Seen], own: list[Seen]) -> None:
    """A walk takes what earlier surveys said up to a time once, and after each entry goes on from there."""
    every = in_order(past)
    before = sum(1 for one in every if one.time < day(6))
    chord = ChordCalls()
    for place in range(before):
        chord.take(every, place)
    whole = calls_of([*past, *own], [])
    for _ in range(2):
        assert oldest_first(chord.going_on(in_order([*every[before:], *own])).told([])) == whole


def test_who_was_told_in_a_later_survey_of_the_same_call_is_known(over: tuple[Job, Walk]) -> None:
    job, walk = over
    (call,) = LiveCalls(job, walk).open()
    for survey, told_by_then in ((call.survey, 1), ("id of day 2 T1", 2), ("id of day 0 T1", 2)):
        told = {"role": "shift engineer", "person": "EF", "means": "radio", "answer": "", "told_at": stamp(day(4))}
        about = {"station": "A", "chord": "L-R", "level": "look", "what": "closing", "survey": survey, "by": "AB"}
        walk.commit("call", {**about, **told})
        calls = LiveCalls(job, walk)
        assert len(calls.every()[0].told) == told_by_then
        assert calls.every() == every_call(job, walk)


def every_call(job: Job, walk: Walk) -> tuple[Call, ...]:
    """From the rows of the whole history and all that was told."""
    return calls_of(seen_in(job.history(), job.account.by_id), walk.state.calls)


@pytest.fixture
def over(tmp_path: Path) -> Iterator[tuple[Job, Walk]]:
    """A job on the disk with a call going on at one chord, and a new survey of it begun."""
    shelf = Shelf(route_with())
    for days, length in ((0, "8000"), (1, "7994.0"), (2, "7993.9")):
        shelf.survey(days, Read("L-R", length), Read("L-K", "6000"))
    (tmp_path / "heading.toml").write_text(shelf.route.text, encoding="utf-8")
    from job.test_kept import put

    for log in shelf.logs:
        put(log, tmp_path / "logs")
    job = load_job(load_route(tmp_path / "heading.toml"), tmp_path / "logs")
    walk = Walk.begin(job, clock=lambda: day(4))
    yield job, walk
    walk.leave()


def test_somebody_who_looks_at_the_chords_meanwhile_is_not_waited_for(over: tuple[Job, Walk]) -> None:
    job, walk = over
    calls = LiveCalls(job, walk)
    calls.behind = True
    assert calls.open() == ()
    assert calls.left == (("A", "L-K"), ("A", "L-R"))
    for key in calls.left:
        calls.look(key, job.account.stories[key])
    assert [(call.chord, call.level) for call in calls.open()] == [("L-R", "look")]
    assert calls.open() == LiveCalls(job, walk).open()
    assert calls.left == ()
