"""The report: every figure with its bounds, the number of cases, the share of cases counted. Nothing is left out."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from statistics import fmean, median

from .claims import ANY_SIZE, CLAIM, FIFTH, LARGE, SETTLED
from .figures import Rate, coverage, mark, rate
from .ground import REGIMES
from .probabilities import probabilities
from .run import CAUSE, MOVED, ODDS, TOLERANCE, Outcome


def lines(found: Sequence[Outcome]) -> Iterator[str]:
    yield from _counts(found)
    yield from _expectation(found)
    yield from _rules(found)
    for regime in REGIMES:
        yield from _regime(regime, [one for one in found if one.regime == regime])
    yield from _earlier(found)
    yield from _movements(found)
    yield from probabilities(found)
    yield from _speed(found)


def _counts(found: Sequence[Outcome]) -> Iterator[str]:
    worlds = len({one.world for one in found})
    topped = len({one.world for one in found if one.topped})
    yield f"{len(found)} bookings judged on {worlds} invented routes ({', '.join(REGIMES)} ground, alike in number but"
    yield f"  for {topped} tried only with labels that had fewer than {CLAIM} cases: they count in those labels' rates"
    yield f"a case counts in the rates from {SETTLED} earlier readings on; first readings of a chord stand apart"
    yield "bounds of rates: Clopper-Pearson 95 %, as if bookings were independent; those of one route share its ground"
    yield ""


def _expectation(found: Sequence[Outcome]) -> Iterator[str]:
    yield "EXPECTATION, clean bookings: share within the 95 % interval; RMS of residual / stated spread"
    yield "  what is asked of it is asked of all clean bookings of a ground; parts of them stand below for whoever asks"
    for regime in REGIMES:
        clean = [one for one in found if one.regime == regime and one.label == "as booked"]
        for words, pick in _SLICES:
            some = [one for one in clean if pick(one)]
            if len(some) < 30:
                continue
            covered, rms, low, high = coverage(some)
            marks = mark(0.93 <= covered.value <= 0.97) + mark(0.9 <= rms <= 1.1) if words == "all" else ""
            ratio = median(one.spread / one.true_spread for one in some)
            yield (
                f"  {regime:10} {words:32} {covered}   RMS {rms:.3f} [{low:.3f}, {high:.3f}]"
                f"   spread / true {ratio:.2f}   {marks}"
            )
    yield ""


_SLICES: tuple[tuple[str, Callable[[Outcome], bool]], ...] = (
    ("all", lambda one: True),
    (f"from {SETTLED} earlier readings", lambda one: one.earlier >= SETTLED),
    ("one earlier reading", lambda one: one.earlier == 1),
    ("two earlier readings", lambda one: one.earlier == 2),
    ("first reading after a new stage", lambda one: one.new_stage and one.earlier >= SETTLED),
)


def _rules(found: Sequence[Outcome]) -> Iterator[str]:
    unlisted = sum("real movement" not in dict(one.listed) for one in found)
    yield "RULES"
    broken = sum(one.broken for one in found)
    yield f"  more than five standard uncertainties off and `as booked`: {broken} of {len(found)}   {mark(not broken)}"
    yield f"  `real movement` not in the list: {unlisted} of {len(found)}   {mark(not unlisted)}"
    yield ""


def _regime(regime: str, found: Sequence[Outcome]) -> Iterator[str]:
    """Rates of one regime. The simulator's true spread decides what counts, never the program's."""
    settled = [one for one in found if one.earlier >= SETTLED and not one.topped]
    clear = [one for one in settled if one.true_spread < FIFTH]
    every = [one for one in found if one.earlier >= SETTLED and one.true_spread < FIFTH]
    dark = [one for one in settled if one.true_spread >= FIFTH]
    yield f"{regime.upper()} GROUND   beside it: a fixed tolerance of {TOLERANCE:g} mm against the last reading"
    yield f"  true spread below a fifth of the pitch: {_share(clear, settled)} of the cases from {SETTLED} readings on"
    yield from _clean(regime, [one for one in clear if one.label == "as booked"])
    yield from _holes(regime, every, dark)
    mistakes = [one for one in clear if one.label in MISREADINGS]
    big = [one for one in mistakes if one.off_by > 5]
    caught = rate(one.doubted for one in big)
    aimed = mark(caught.value >= 0.99) if regime == "normal" else ""
    counted = _share(big, mistakes)
    yield f"  misreadings that leave > 5    {caught}  {aimed}{_fixed(big)}   ({counted} of misreadings counted)"
    yield f"    at the documented odds      {_weighed(big)};  by the first explanation alone {_by_first(big)}"
    for label in ODDS:
        yield from _label(label, [one for one in every if one.label == label])
    yield from _repeats([one for one in every if one.label == "one repeat"])
    yield from _young(found)
    yield ""


_EARLIER = ("earlier reading", "only reading")
MISREADINGS = tuple(label for label in ODDS if label not in ("as booked", "one repeat", "anchor", *MOVED, *_EARLIER))
"""What a single reading can show. A misread repeat leaves nothing in the median: it stands apart below."""


def _clean(regime: str, clean: Sequence[Outcome]) -> Iterator[str]:
    aim = {"normal": 0.005, "squeezing": 0.02, "calm": 0.005}[regime]
    doubted = rate(one.doubted for one in clean)
    yield f"  clean doubted                 {doubted}  {mark(doubted.value <= aim)}{_fixed(clean)}"
    yield f"    by the first explanation    {_by_first(clean)}"
    asked = rate(one.asked for one in clean)
    yield f"  clean, further repeat asked   {asked}  {mark(asked.value <= 0.07)}"
    yield f"  clean, hole asked for twice   {rate(one.twice for one in clean)}"


def _fixed(some: Sequence[Outcome]) -> str:
    return f"   fixed {100 * rate(one.doubted_by_tolerance for one in some).value:6.2f} %"


def _by_first(some: Sequence[Outcome]) -> Rate:
    return rate(one.first != "as booked" for one in some)


def _weighed(some: Sequence[Outcome]) -> str:
    total = sum(one.weight for one in some)
    return f"{100 * sum(one.weight for one in some if one.doubted) / total:6.2f} %" if total else "none"


def _holes(regime: str, every: Sequence[Outcome], dark: Sequence[Outcome]) -> Iterator[str]:
    by_one = [one for one in every if one.label == "hole by one"]
    caught = rate(one.doubted for one in by_one)
    aim = caught.value >= 0.97 if regime == "squeezing" else caught.low >= 0.998
    yield f"  hole by one, caught           {caught}  {mark(aim)}{_fixed(by_one)}"
    yield f"    by the first explanation    {_by_first(by_one)}"
    yield f"    or the hole asked for twice {rate(one.doubted or one.twice for one in by_one)}"
    named = rate(one.first == "hole" and one.length_right for one in by_one)
    aimed = mark(named.value >= 0.98) if regime == "normal" else ""
    yield f"    named, with its true length {named}  {aimed}"
    if dark:
        twice = rate(one.twice for one in dark)
        yield f"  elsewhere: hole asked twice   {twice}  {mark(twice.hits == twice.n)}"


def _label(label: str, some: Sequence[Outcome]) -> Iterator[str]:
    big = [one for one in some if one.off_by > 5]
    if label in (*ANY_SIZE, *_EARLIER, "small movement") or not some:
        return
    if len(big) < 100:
        yield f"    {label:15} > 5: too few ({len(big)} of {len(some)}): no rate claimed"
        return
    named = rate(one.first == CAUSE[label] for one in big if one.doubted)
    yield (
        f"    {label:15} > 5: caught {rate(one.doubted for one in big)}; named, of those, {100 * named.value:6.2f} %"
        f"; counted {_share(big, some)}{_enough(big)}"
    )


def _repeats(some: Sequence[Outcome]) -> Iterator[str]:
    """One of three repeats misread: the three stand apart, or the reading is doubted."""
    if some:
        seen = rate(one.doubted or one.asked for one in some)
        named = rate(one.first == "one repeat" for one in some if one.doubted)
        words = f"    one repeat, any size: doubted or a fourth asked for {seen}; named, of those doubted, {named}"
        yield words + _enough(some)


def _young(found: Sequence[Outcome]) -> Iterator[str]:
    """Chords with one or two earlier readings."""
    for n in (1, 2):
        young = [one for one in found if one.earlier == n and one.true_spread < FIFTH]
        clean = rate(one.doubted for one in young if one.label == "as booked")
        holes = [one for one in young if one.label == "hole by one"]
        twice = rate(one.twice or one.doubted for one in holes)
        yield f"  {n} earlier reading{'s' if n > 1 else ' '}: clean doubted {clean}"
        yield f"    hole by one caught {rate(one.doubted for one in holes)}; caught or asked twice {twice}"


def _earlier(found: Sequence[Outcome]) -> Iterator[str]:
    """Today's reading is right, the last one (of several, or the only one) was not."""
    yield "EARLIER READING WRONG by more than five true spreads, today's right"
    for regime in REGIMES:
        for label, words in zip(_EARLIER, ("the last of several", "the only one"), strict=True):
            wrong = [one for one in found if one.regime == regime and one.label == label and one.true_spread < FIFTH]
            big = [one for one in wrong if one.off_by > 5 and (label == "only reading" or one.earlier >= SETTLED)]
            doubted = [one for one in big if one.doubted]
            listed = rate("earlier reading" in dict(one.listed) for one in doubted)
            taken = rate(not one.doubted or one.again == "earlier reading" for one in big)
            yield f"  {regime:10} {words:20} taken for right, or named once read again {taken}{_enough(big)}"
            yield f"    doubted {rate(one.doubted for one in big)}; `earlier reading` then in the list {listed}"
            yield f"    first at once {_named(doubted)}; once read again {_named_again(doubted)}"
    yield ""


def _named(some: Sequence[Outcome]) -> Rate:
    return rate(one.first == CAUSE[one.label] for one in some)


def _named_again(some: Sequence[Outcome]) -> Rate:
    return rate(one.again == CAUSE[one.label] for one in some)


def _enough(some: Sequence[Outcome]) -> str:
    return "" if len(some) >= CLAIM else "  (fewer than 3,000: no rate claimed)"


def _movements(found: Sequence[Outcome]) -> Iterator[str]:
    yield "SUDDEN MOVEMENT, true: reported (doubted, so read again), by size in true spreads"
    for regime in REGIMES:
        moved = [one for one in found if one.regime == regime and one.earlier >= SETTLED]
        few = [one for one in moved if one.label == "movement of 5 to 8"]
        large = [one for one in moved if one.label == "real movement" and one.off_by >= LARGE]
        for words, some in (("5 to 8", few), (f"2 to 40 mm, over {LARGE}", large)):
            again = _named_again([one for one in some if one.doubted])
            yield f"  {regime:10} {words:20} {rate(one.doubted for one in some)}{_enough(some)}"
            yield f"    first explanation {_named(some)}; of those reported, once read again {again}"
    yield ""


def _speed(found: Sequence[Outcome]) -> Iterator[str]:
    weight = sum(one.weight for one in found)
    odds = 1000 * sum(one.weight * one.seconds for one in found) / weight
    took = sorted(one.seconds for one in found)
    yield f"ONE VERDICT, processor time: mean at the documented odds {odds:.2f} ms  {mark(odds <= 1)}"
    yield f"  over all bookings here, most of them wrong: mean {1000 * fmean(took):.2f} ms, median {_middle(took):.2f}"


def _middle(seconds: Sequence[float]) -> float:
    return 1000 * seconds[len(seconds) // 2]


def _share(some: Sequence[Outcome], whole: Sequence[Outcome]) -> str:
    return f"{100 * len(some) / len(whole):.1f} %" if whole else "none"
