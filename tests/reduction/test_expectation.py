"""What the next length of a chord should be: from its readings, another tape's, the route; moved by its neighbours."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal

import pytest
from msgspec.structs import replace
from reduction.adit import CHORDS, EXTENSOMETER, OTHER_TAPE, START, STATIONS, TAPE, WARM, Adit, figures, length, route

from fieldtui.reduction import ChordGround, Event, Evidence, Ground, Known, Past, Segment, expect
from fieldtui.reduction.evidence import Other
from fieldtui.reduction.following import follow, off_variance, stirred
from fieldtui.reduction.laws import BANK
from fieldtui.reduction.pace import first_speeds, paced
from fieldtui.route.units import US

ADIT = Adit()
KNOWN = ADIT.known()
B = STATIONS[1]


def expected(known=KNOWN, *, at=ADIT.now, chord=CHORDS[0], tape=TAPE, **more):
    return expect(known, B, chord, tape, EXTENSOMETER, at, **more)


def test_it_goes_on_as_it_went():
    found = expected()
    assert float(found.value) == pytest.approx(ADIT.true(("B", "L-R"), 10), abs=0.15)
    assert found.rests == "readings"
    assert found.basis == "10 earlier readings"
    assert 0.1 < found.spread < 0.3
    assert found.moving == pytest.approx(-0.2, abs=0.15)


def test_the_spread_grows_with_the_interval():
    spreads = [expected(at=ADIT.now + timedelta(days=days)).spread for days in (0, 2, 7, 30, 90)]
    assert spreads == sorted(spreads)
    assert spreads[-1] > 3 * spreads[0]


def test_ground_may_be_rougher_than_it_has_shown_and_errors_of_reading_may_not():
    """As far as the spread is movement, more lies beyond four spreads than a normal has there; the spread stays."""
    beyond = []
    for days in (0.02, 40):
        found = expected(at=ADIT.now + timedelta(days=days))
        middle, spread = float(found.value), found.spread
        assert found.mixture.sd == pytest.approx(spread)
        assert spread == pytest.approx(found.alone_spread)
        assert middle == pytest.approx(found.alone)
        beyond.append(found.mixture.below(middle - 4 * spread) + 1 - found.mixture.below(middle + 4 * spread))
    assert beyond[0] < 6e-4
    assert beyond[1] > 1.2e-3


def test_without_a_reading_the_rough_length_then_the_anchors_then_nothing():
    bare = Known(route(), Ground.EMPTY)
    rough, anchors = expected(bare), expected(bare, chord=CHORDS[2])
    assert (rough.rests, float(rough.value)) == ("rough length", 8000.0)
    assert rough.spread == pytest.approx((15**2 + 100**2 / 12) ** 0.5, rel=1e-6)
    assert (anchors.rests, anchors.basis) == ("anchors", "the anchors' coordinates")
    assert float(anchors.value) == pytest.approx(5000.0)
    nowhere = replace(B, anchors=())
    assert expect(bare, nowhere, CHORDS[2], TAPE, EXTENSOMETER, START) is None


@pytest.mark.parametrize("name", ["R", "K"])
@pytest.mark.parametrize("figure", ["across", "up"])
def test_the_coarsest_coordinate_of_both_anchors_counts(name, figure):
    """Written to the metre, one figure alone leaves 1 m / sqrt(12)."""
    coarse = tuple(replace(one, **{figure: Decimal(4)}) if one.name == name else one for one in B.anchors)
    found = expect(Known(route(), Ground.EMPTY), replace(B, anchors=coarse), CHORDS[2], TAPE, EXTENSOMETER, START)
    assert found.spread == pytest.approx((15**2 + 1000**2 / 12) ** 0.5, rel=1e-6)


def test_a_finer_rough_length_is_held_closer():
    bare = Known(route(), Ground.EMPTY)
    fine = expected(bare, chord=replace(CHORDS[0], length=Decimal("8.000")))
    assert fine.spread == pytest.approx(15.0, rel=1e-3)


def test_another_tape_is_wider_by_what_nobody_has_compared():
    other = expected(tape=OTHER_TAPE)
    own = expected()
    assert other.rests == "another tape"
    assert "tape T1" in other.basis
    assert other.value == own.value
    assert other.spread == pytest.approx((own.spread**2 + 1) ** 0.5, rel=1e-6)


def test_lengths_taken_over_are_called_so_and_not_readings_with_a_tape():
    key = ("B", "L-R")
    chord = KNOWN.ground.chord(key)
    taken = replace(chord, segments=(replace(chord.segments[0], tape="earlier lengths", extensometer=""),))
    found = expected(Known(KNOWN.route, replace(KNOWN.ground, chords={key: taken})))
    assert (found.rests, found.basis) == ("another tape", "lengths taken over")


def test_doubtful_readings_do_not_count():
    spoilt = Adit(spoilt={8: 25.0, 9: -7.0}, doubtful=frozenset({8, 9})).known()
    found = expected(spoilt)
    assert found.basis == "8 earlier readings"
    assert float(found.value) == pytest.approx(ADIT.true(("B", "L-R"), 10), abs=0.3)


@pytest.mark.parametrize("told", ["ground", "evidence"])
def test_a_blast_and_a_new_stage_widen_it(told):
    event = Event(START + timedelta(days=9.6), "stage", "B")
    if told == "ground":
        known = Known(KNOWN.route, replace(KNOWN.ground, events=(event,)))
        found = expected(known)
    else:
        found = expected(evidence=Evidence(events=(event,)))
    assert found.spread > 5 * expected().spread
    assert found.new_stage


@pytest.mark.parametrize(
    "event",
    [
        Event(START + timedelta(days=9.6), "blast", "A"),
        Event(START + timedelta(days=8.5), "blast", "B"),
        Event(START + timedelta(days=10.5), "blast", "B"),
    ],
)
def test_an_event_elsewhere_or_before_the_last_reading_or_to_come_does_not(event):
    assert expected(evidence=Evidence(events=(event,))).spread == expected().spread
    known = Known(KNOWN.route, replace(KNOWN.ground, events=(event,)))
    if event.time > START + timedelta(days=9):
        assert expected(known).spread == expected().spread


def test_what_an_event_has_moved_and_what_is_left_of_its_velocity_go_together():
    """A velocity of 0.8 mm a day that dies away within 4 days, by steps, beside the jump of a millimetre."""
    since = START + timedelta(days=10)
    event = Event(since + timedelta(days=1), "stage", "B")
    velocity, moved, step = 0.8, 0.0, 1e-4
    for _ in range(20000):  # two days
        moved += velocity * step
        velocity -= velocity / 4 * step
    length, both, speed = stirred(since, since + timedelta(days=3), (event,))
    assert length - 1 == pytest.approx(moved**2, rel=1e-3)
    assert both == pytest.approx(moved * velocity, rel=1e-3)
    assert speed == pytest.approx(velocity**2 + 0.05**2, rel=1e-3)
    assert stirred(since, since + timedelta(days=0.5), (event,)) is None


def series(key, offs):
    """A chord read daily, off a steady length by so much."""
    base = 8000.0 if key[1] == "L-R" else 5000.0
    pasts = tuple(
        Past(START + timedelta(days=i), length(figures(base + off)), f"survey {i}") for i, off in enumerate(offs)
    )
    return ChordGround((Segment("T1", "E1", pasts[:1], pasts),))


def together_since_ever(sign):
    """Two chords of a station that go their unsteady way together (or against each other)."""
    steps = [0, -3, 2, -4, 1, 5, -2, -6, 3, 0, 4, -3, -1, 6, 2]
    path = [0.9 * sum(steps[: i + 1]) for i in range(len(steps))]
    chords = {
        ("B", "L-R"): series(("B", "L-R"), path),
        ("B", "L-K"): series(("B", "L-K"), [sign * 0.6 * p for p in path]),
    }
    return Known(route(), Ground(chords=chords))


@pytest.mark.parametrize("sign", [1.0, -1.0])
def test_a_neighbour_that_always_went_along_is_heeded(sign):
    known = together_since_ever(sign)
    at = START + timedelta(days=15)
    followed = known.followed(("B", "L-K"), "T1", "E1")
    plain = expected(known, chord=CHORDS[1], at=at)
    moved = Other(("B", "L-K"), followed.last.length, at, 1.5 * plain.spread * sign, plain.spread)
    alone = expected(known, at=at)
    heeded = expected(known, at=at, evidence=Evidence((moved,)))
    assert float(heeded.value) > float(alone.value) + 0.5 * alone.spread
    assert heeded.spread < 0.85 * alone.spread
    assert heeded.alone == pytest.approx(alone.mixture.mean)
    assert heeded.alone_spread == pytest.approx(alone.spread)


def test_a_neighbour_that_does_not_agree_or_is_of_another_station_is_not_heeded():
    known = together_since_ever(1.0)
    at = START + timedelta(days=15)
    followed = known.followed(("B", "L-K"), "T1", "E1")
    moved = Other(("B", "L-K"), followed.last.length, at, 4.0, 2.0)
    for other in (replace(moved, agrees=False), replace(moved, key=("A", "L-K"))):
        assert expected(known, at=at, evidence=Evidence((other,))).value == expected(known, at=at).value


@pytest.mark.parametrize("by", [0.4, -0.9])
def test_what_it_leans_on_is_known(by):
    """Were the heeded chord off by so much less, the expected value would be less by what the lean says."""
    known = together_since_ever(1.0)
    at = START + timedelta(days=15)
    followed = known.followed(("B", "L-K"), "T1", "E1")
    spread = expected(known, chord=CHORDS[1], at=at).spread
    there, less = (Other(("B", "L-K"), followed.last.length, at, off, spread) for off in (1.0, 1.0 - by))
    found = expected(known, at=at, evidence=Evidence((there,)))
    other = expected(known, at=at, evidence=Evidence((less,)))
    assert found.leans[0].less(by) == pytest.approx(float(found.value - other.value), rel=1e-6)
    assert found.leans[0].less(by) * by > 0


def test_the_stations_other_chords_show_which_law_holds():
    """Three readings of a new chord say little; beside two that have been read for long they say more."""
    young = Adit(since=7, rate=-2.0)
    known = young.known()
    own = {key: chord for key, chord in known.ground.chords.items() if key == ("B", "L-R")}
    alone = Known(known.route, Ground(chords=own))
    assert expected(known).spread < 0.8 * expected(alone).spread
    heeded, plain = known.heeding(("B", "L-R"), "T1", "E1"), known.followed(("B", "L-R"), "T1", "E1")
    assert heeded.track.states == plain.track.states
    assert heeded.track.weights != plain.track.weights


def test_chords_of_fast_ground_make_fast_movement_likely_for_a_new_one():
    slow, fast = Adit(rate=-0.1, since=9), Adit(rate=-25.0, since=9)
    assert expected(fast.known()).spread > 10 * expected(slow.known()).spread


def test_first_speeds_are_those_of_the_first_two_good_readings():
    speeds = first_speeds(Adit(days=4, rate=-3.0, wobble=(0.0,)).known().ground, 1.0)
    assert [speed for speed, _ in speeds] == pytest.approx([-3.0] * 6, abs=0.02)
    assert sum(motion.prior for motion in paced(speeds)) == pytest.approx(1)
    assert paced([]) == BANK


def test_an_error_that_two_readings_share_is_not_counted():
    """The same hole cancels; another counts twice; the tape's steel counts by the difference of the temperatures."""
    last = length(figures(8000.0, hole=319))
    same, other = length(figures(8000.5, hole=319)), length(figures(8000.5, hole=320))
    assert off_variance(other, last) - off_variance(same, last) == pytest.approx(2 * 0.03**2, rel=1e-3)
    own = 0.05**2 / 3 + 0.08**2 + (11.6e-6 * 8000 * 0.5) ** 2 + (0.5e-6 * 8000 * 0.5) ** 2
    assert off_variance(same, last) == pytest.approx(own, rel=1e-3)
    warmer = length(figures(8000.5, hole=319, warm=WARM + 10))
    assert off_variance(warmer, last) - own == pytest.approx((8000 * 10 * 0.5e-6) ** 2, rel=0.02)


def test_a_route_in_inches_expects_the_same_ground():
    """The laws are in millimetres: a chord that moves as fast in inches has the same spread, in inches."""
    known = Known(replace(KNOWN.route, units=US), KNOWN.ground)
    assert known.mm == pytest.approx(1 / 25.4)
    pasts = KNOWN.ground.chord(("B", "L-R")).segments[0].readings
    fine = follow(pasts, mm=1 / 25.4)
    assert fine.track.foretell(10.0, 1e-9).sd > follow(pasts).track.foretell(10.0, 1e-9).sd


def test_nothing_is_left_of_a_ground_without_readings():
    assert follow(()) is None
    assert KNOWN.followed(("B", "L-R"), "T2", "E1") is None
    assert Adit(days=1).known().without_last(("B", "L-R"), "T1", "E1") is None
