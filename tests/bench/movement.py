"""Coverage of the 95 % intervals of end value and time to rest; false alarms and delay of the test on speeding up.

On invented ground.

    python -m tests.bench.movement [chords a law] [seed]      2,000 unless told otherwise; some minutes

A chord is drawn: a law and its figures, when it was read and how far the face had gone by then, how well it was read.
The law that made the readings is the one that is fitted: what is measured is the method, not the choice of a law.
Lost before the baseline is what the law had closed by then; the end value is counted from the baseline, as on screen.
The rule of rest is `RULE`; the face goes on at the pace it had. A chord at rest already, and said to be, is counted
apart: there it takes no skill.
"""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from decimal import Decimal

import numpy as np

from fieldtui.movement.acceleration import speeding_up
from fieldtui.movement.answer import Answer, answers
from fieldtui.movement.course import Course
from fieldtui.movement.laws import FACE_AND_TIME, LAWS, Array, Law
from fieldtui.movement.rest import days_to_rest
from fieldtui.route import Stability
from tests.bench.figure import Figure

SEED = 20310611
RULE = Stability(Decimal("0.2"), Decimal("0.9"))
"""mm a day; share of the end value."""
READINGS = (8, 40)
UNCERTAINTY = (0.05, 0.25)
"""mm, of one reading against the others."""
AMPLITUDE = (2.0, 60.0)
REACH, DAYS = (4.0, 25.0), (2.0, 40.0)
"""X in m and T in days."""
AHEAD = (1.0, 8.0)
"""How many X the face goes on while the chord is read."""
LONG = (1.2, 6.0)
"""How many T it is read for; the time part of face and time needs longer."""
LONG_WITH_FACE = (5.0, 200.0)
SHARE_OF_TIME = (0.2, 2.0)
"""m."""
KINDS = ("at rest", "at a steady rate", "slowing down")


@dataclass
class Tally:
    """What came of the chords of one law."""

    chords: int = 0
    answered: int = 0
    covered: int = 0
    below: int = 0
    above: int = 0
    refusals: Counter[str] = field(default_factory=Counter)
    widths: list[float] = field(default_factory=list)
    resting: int = 0
    """At rest already, and said to be for every shape that fits."""
    rests: int = 0
    """The others that an interval of the time to rest was given for."""
    rest_covered: int = 0
    too_soon: int = 0
    """The interval ends before the chord came to rest."""
    too_late: int = 0


@dataclass(frozen=True)
class Chord:
    course: Course
    end: float
    baseline: float
    amplitudes: Array
    shape: tuple[float, ...]
    pace: float


def drawn(law: Law, chance: np.random.Generator) -> Chord:
    """One chord that follows a law, with the end value that would be counted from its baseline."""
    reach, days = chance.uniform(*REACH), np.exp(chance.uniform(*np.log(DAYS)))
    span = days * np.exp(chance.uniform(*np.log(LONG_WITH_FACE if law is FACE_AND_TIME else LONG)))
    count = int(chance.integers(READINGS[0], READINGS[1] + 1))
    # often at first, seldom later: between evenly spread and evenly spread in the logarithm
    first = 0.01 * span * chance.uniform(0.5, 4.0)
    even, growing = np.linspace(first, span, count), np.geomspace(first, span, count)
    mixed = chance.uniform()
    t = np.sort((mixed * even + (1 - mixed) * growing) * chance.uniform(0.93, 1.07, count))
    x = t / t[-1] * reach * np.exp(chance.uniform(*np.log(AHEAD)))
    amplitude = np.exp(chance.uniform(*np.log(AMPLITUDE)))
    parts = np.array([amplitude, amplitude * chance.uniform(*SHARE_OF_TIME)])[: law.parts]
    shape = tuple(days if grows == "time" else reach for _, grows in law.shape)
    closed = law.columns(shape, t, x) @ parts
    u = chance.uniform(*UNCERTAINTY)
    read = closed - closed[0] + chance.normal(0, u, count)
    return Chord(
        Course.of(read, t, x, u), float(parts.sum() - closed[0]), -float(closed[0]), parts, shape, float(x[-1] / t[-1])
    )


def measured(law: Law, chords: int, chance: np.random.Generator) -> Tally:
    tally = Tally()
    for _ in range(chords):
        chord = drawn(law, chance)
        (answer,) = answers(chord.course, rule=RULE, pace=chord.pace, laws=(law,))
        tally.chords += 1
        if not answer.answers or answer.end is None or answer.end.low is None or answer.end.high is None:
            tally.refusals[answer.refusal.split(":")[0].split(",")[0]] += 1
            continue
        tally.answered += 1
        tally.widths.append((answer.end.high - answer.end.low) / abs(chord.end))
        if chord.end < answer.end.low:
            tally.below += 1
        elif chord.end > answer.end.high:
            tally.above += 1
        else:
            tally.covered += 1
        _rested(tally, chord, answer)
    return tally


def _rested(tally: Tally, chord: Chord, answer: Answer) -> None:
    """Whether the interval of the time to rest has the true one in it. No latest is later than any."""
    if answer.rest is None or answer.fit is None:
        return
    days = days_to_rest(answer.fit, chord.baseline, chord.amplitudes, chord.shape, RULE, chord.pace)
    never = float("inf")
    true = never if days is None else days
    early, late = (never if one is None else one for one in (answer.rest.earliest, answer.rest.latest))
    if true == late == 0:
        tally.resting += 1
        return
    tally.rests += 1
    if true > late:
        tally.too_soon += 1
    elif true < early:
        tally.too_late += 1
    else:
        tally.rest_covered += 1


def told(law: Law, tally: Tally) -> str:
    share, spread = _share(tally.covered, tally.answered)
    rest, rest_spread = _share(tally.rest_covered, tally.rests)
    widths = np.quantile(tally.widths, [0.1, 0.5, 0.9]) if tally.widths else [float("nan")] * 3
    lines = [
        f"{law}: {tally.chords} chords, {tally.answered} answered, covered {share:.1%} (+-{spread:.1%}); "
        f"end value below {tally.below}, above {tally.above}",
        "    width over end value: 1 in 10 below {:.2f}, half below {:.2f}, 9 in 10 below {:.2f}".format(*widths),
    ]
    lines.append(
        f"    time to rest: {tally.rests} intervals, covered {rest:.1%} (+-{rest_spread:.1%}); ends too soon "
        f"{tally.too_soon}, begins too late {tally.too_late}; at rest already and said so {tally.resting}"
    )
    lines += [f"    refused {count}: {reason}" for reason, count in tally.refusals.most_common()]
    return "\n".join(lines)


def _share(covered: int, of: int) -> tuple[float, float]:
    """A share and its standard deviation."""
    if not of:
        return float("nan"), float("nan")
    return covered / of, (covered / of * (1 - covered / of) / of) ** 0.5


def alarms(looks: int, chance: np.random.Generator) -> str:
    """How often ground that does not speed up is said to, and how soon ground is noticed that does."""
    lines = []
    for kind in KINDS:
        false = sum(_alarm(kind, chance) for _ in range(looks))
        lines.append(f"speeding up, {kind}: {false} false alarms in {looks} looks ({false / looks:.2%})")
    delays = [_delay(chance) for _ in range(max(looks // 20, 20))]
    late = sum(delay is None for delay in delays)
    found = sorted(delay for delay in delays if delay is not None)
    lines.append(
        f"a rate that begins to double every 5 readings: noticed after {found[len(found) // 2]} readings in half the "
        f"chords, {found[int(0.9 * len(found))]} in nine of ten; not within 20: {late} of {len(delays)}"
    )
    return "\n".join(lines)


def _times(count: int, chance: np.random.Generator) -> np.ndarray:
    return np.cumsum(chance.uniform(0.5, 2.0, count))


def _alarm(kind: str, chance: np.random.Generator) -> bool:
    t = _times(int(chance.integers(5, 30)), chance)
    rate = {"at rest": 0.0, "at a steady rate": chance.uniform(0.02, 3.0)}.get(kind)
    y = rate * t if rate is not None else chance.uniform(2, 40) * -np.expm1(-t / t[-1] * chance.uniform(0.3, 5))
    u = chance.uniform(*UNCERTAINTY)
    bend = speeding_up(Course.of(y + chance.normal(0, u, len(t)), t, u=u))
    return bend is not None and bend.noticed


def _delay(chance: np.random.Generator) -> int | None:
    """Readings from the first one after the change until it is noticed: 0.2 mm a reading, doubled every 5."""
    before, after, u = 15, 20, 0.12
    steps = np.concatenate([np.full(before, 0.2), 0.2 * 2 ** (np.arange(1, after + 1) / 5)])
    y = np.cumsum(steps) + chance.normal(0, u, before + after)
    t = np.arange(before + after, dtype=float)
    for place in range(before, before + after):
        bend = speeding_up(Course.of(y[: place + 1], t[: place + 1], u=u))
        if bend is not None and bend.noticed:
            return place - before + 1
    return None


def figures(quick: bool) -> Iterator[Figure]:
    """A coverage is asked to be 95 % less two of its own standard deviations, for so many chords that answered."""
    chords = 100 if quick else 2000
    for place, law in enumerate(LAWS):
        tally = measured(law, chords, np.random.default_rng([SEED, place]))
        print(told(law, tally))
        for what, covered, of in (
            ("end value", tally.covered, tally.answered),
            ("time to rest", tally.rest_covered, tally.rests),
        ):
            share, spread = _share(covered, of)
            yield Figure(f"{law}: 95 % interval of the {what}, {of} chords", 100 * share, 95 - 200 * spread, "%", True)
    chance = np.random.default_rng([SEED, 99])
    looks = max(chords, 200)
    for kind in KINDS:
        false = sum(_alarm(kind, chance) for _ in range(looks))
        yield Figure(f"speeding up, ground {kind}: falsely said, {looks} looks", 100 * false / looks, 1.0, "%")


def main(chords: int, seed: int) -> None:
    for place, law in enumerate(LAWS):
        print(told(law, measured(law, chords, np.random.default_rng([seed, place]))), flush=True)
    print(alarms(max(chords, 200), np.random.default_rng([seed, 99])))


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 2000, int(sys.argv[2]) if len(sys.argv) > 2 else SEED)
