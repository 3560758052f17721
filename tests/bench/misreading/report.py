"""The report: every figure with its bounds, the number of cases, the share of cases counted. Nothing is left out."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from statistics import fmean, median

from tests.bench.misreading.figures import Bin, Rate, calibration, coverage, rate, unbinned
from tests.bench.misreading.ground import REGIMES
from tests.bench.misreading.instrument import TAPE
from tests.bench.misreading.run import CAUSE, ODDS, TOLERANCE, Outcome

FIFTH = float(TAPE.pitch) / 5
SETTLED = 3
"""Readings before a case counts in the rates: before that, knowing the law is no fair yardstick."""


def lines(found: Sequence[Outcome]) -> Iterator[str]:
    yield from _counts(found)
    yield from _expectation(found)
    yield from _rules(found)
    for regime in REGIMES:
        yield from _regime(regime, [one for one in found if one.regime == regime])
    yield from _movements(found)
    yield from _probabilities(found)
    yield from _speed(found)


def _counts(found: Sequence[Outcome]) -> Iterator[str]:
    worlds = len({one.world for one in found})
    yield f"{len(found)} bookings judged on {worlds} invented routes ({', '.join(REGIMES)} ground, alike in number)"
    yield f"a case counts in the rates from {SETTLED} earlier readings on; first readings of a chord stand apart"
    yield "bounds of rates: Clopper-Pearson 95 %, as if bookings were independent; those of one route share its ground"
    yield ""


def _expectation(found: Sequence[Outcome]) -> Iterator[str]:
    yield "EXPECTATION, clean bookings: share within the 95 % interval; RMS of residual / stated spread"
    for regime in REGIMES:
        clean = [one for one in found if one.regime == regime and one.label == "as booked"]
        for words, pick in _SLICES:
            some = [one for one in clean if pick(one)]
            if len(some) < 30:
                continue
            covered, rms, low, high = coverage(some)
            marks = _mark(0.93 <= covered.value <= 0.97) + _mark(0.9 <= rms <= 1.1)
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
    yield f"  more than five standard uncertainties off and `as booked`: {broken} of {len(found)}   {_mark(not broken)}"
    yield f"  `real movement` not in the list: {unlisted} of {len(found)}   {_mark(not unlisted)}"
    yield ""


def _regime(regime: str, found: Sequence[Outcome]) -> Iterator[str]:
    """Rates of one regime. The simulator's true spread decides what counts, never the program's."""
    settled = [one for one in found if one.earlier >= SETTLED]
    clear = [one for one in settled if one.true_spread < FIFTH]
    dark = [one for one in settled if one.true_spread >= FIFTH]
    yield f"{regime.upper()} GROUND   beside it: a fixed tolerance of {TOLERANCE:g} mm against the last reading"
    yield f"  true spread below a fifth of the pitch: {_share(clear, settled)} of the cases from {SETTLED} readings on"
    clean = [one for one in clear if one.label == "as booked"]
    aim = {"normal": 0.005, "squeezing": 0.02, "calm": 0.005}[regime]
    doubted, by_fixed = rate(_doubted(one) for one in clean), rate(one.doubted_by_tolerance for one in clean)
    yield f"  clean doubted                 {doubted}  {_mark(doubted.value <= aim)}   fixed {100 * by_fixed.value:6.2f} %"
    asked = rate(one.asked for one in clean)
    yield f"  clean, further repeat asked   {asked}  {_mark(asked.value <= 0.07)}"
    yield from _holes(regime, clear, dark)
    big = [one for one in clear if one.label in _MISREADINGS and one.off_by > 5]
    caught, fixed = rate(_doubted(one) for one in big), rate(one.doubted_by_tolerance for one in big)
    mistakes = [one for one in clear if one.label in _MISREADINGS]
    aimed = _mark(caught.value >= 0.99) if regime == "normal" else ""
    yield (
        f"  misreadings that leave > 5    {caught}  {aimed}   fixed {100 * fixed.value:6.2f} %"
        f"   ({_share(big, mistakes)} of misreadings)"
    )
    for label in ODDS:
        yield from _label(label, [one for one in clear if one.label == label])
    yield from _young(found)
    yield ""


_MISREADINGS = tuple(
    label for label in ODDS if label not in ("as booked", "real movement", "anchor", "earlier reading")
)


def _holes(regime: str, clear: Sequence[Outcome], dark: Sequence[Outcome]) -> Iterator[str]:
    by_one = [one for one in clear if one.label == "hole by one"]
    caught, fixed = rate(_doubted(one) for one in by_one), rate(one.doubted_by_tolerance for one in by_one)
    aim = {"normal": caught.low >= 0.998, "squeezing": caught.value >= 0.97, "calm": caught.low >= 0.998}[regime]
    yield f"  hole by one, caught           {caught}  {_mark(aim)}   fixed {100 * fixed.value:6.2f} %"
    either = rate(_doubted(one) or one.twice for one in by_one)
    yield f"    or the hole asked for twice {either}"
    named = rate(one.first == "hole" and one.length_right for one in by_one if _doubted(one))
    all_named = rate(one.first == "hole" and one.length_right for one in by_one)
    yield f"    named, of those caught      {named}  {_mark(named.value >= 0.98)}   of all {100 * all_named.value:.2f} %"
    if dark:
        twice = rate(one.twice for one in dark)
        yield f"  elsewhere: hole asked twice   {twice}  {_mark(twice.hits == twice.n)}"


def _label(label: str, some: Sequence[Outcome]) -> Iterator[str]:
    big = [one for one in some if one.off_by > 5]
    if label in ("as booked", "earlier reading") or len(big) < 100:
        return
    caught = rate(_doubted(one) for one in big)
    named = rate(one.first == CAUSE[label] for one in big if _doubted(one))
    enough = "" if len(big) >= 3000 else "  (fewer than 3,000: no claim)"
    yield (
        f"    {label:15} > 5: caught {caught}; named, of those, {100 * named.value:6.2f} %"
        f"; counted {_share(big, some)}{enough}"
    )


def _young(found: Sequence[Outcome]) -> Iterator[str]:
    """Chords with one or two earlier readings, and an earlier reading that was wrong."""
    for n in (1, 2):
        young = [one for one in found if one.earlier == n and one.true_spread < FIFTH]
        clean = rate(_doubted(one) for one in young if one.label == "as booked")
        holes = [one for one in young if one.label == "hole by one"]
        caught, twice = rate(_doubted(one) for one in holes), rate(one.twice or _doubted(one) for one in holes)
        words = f"  {n} earlier reading{'s' if n > 1 else ''}"
        yield f"{words}: clean doubted {clean}; hole by one caught {caught}; caught or asked twice {twice}"
    wrong = [one for one in found if one.label == "earlier reading"]
    doubt = rate(_doubted(one) for one in wrong)
    listed = rate(any(cause == "earlier reading" for cause, _ in one.listed) for one in wrong if _doubted(one))
    yield f"  the only earlier reading wrong, today's right: doubted {doubt}; earlier reading listed {listed}"


def _movements(found: Sequence[Outcome]) -> Iterator[str]:
    yield "SUDDEN MOVEMENT, true, 2 to 40 mm: reported (not `as booked`), by size in true spreads"
    for regime in REGIMES:
        moved = [o for o in found if o.label == "real movement" and o.regime == regime and o.earlier >= SETTLED]
        for low, high in ((3, 5), (5, 8), (8, 1e9)):
            some = [one for one in moved if low <= one.off_by < high]
            if some:
                named = rate(one.first == "real movement" for one in some)
                to = f"to {high:g}" if high < 1e9 else "and more"
                yield f"  {regime:10} {low} {to:8}  {rate(_doubted(one) for one in some)}; named {100 * named.value:6.2f} %"
    yield ""


def _probabilities(found: Sequence[Outcome]) -> Iterator[str]:
    yield "STATED PROBABILITIES, all bookings, reweighted to the documented odds; bins of 1,000 and more"
    pooled: list[tuple[float, bool, float]] = []
    by_cause: dict[str, list[tuple[float, bool, float]]] = {}
    for one in found:
        for cause, probability in one.listed:
            row = (probability, cause == CAUSE[one.label], one.weight)
            pooled.append(row)
            by_cause.setdefault(cause, []).append(row)
    yield from _bins("pooled", pooled)
    for cause in dict.fromkeys(CAUSE.values()):
        yield from _bins(cause, by_cause.get(cause, []))
    yield ""


def _bins(words: str, rows: Sequence[tuple[float, bool, float]]) -> Iterator[str]:
    bins: list[Bin] = calibration(rows)
    held = Rate(sum(one.holds for one in bins), len(bins))
    yield f"  {words}: {held.hits} of {held.n} bins hold; {unbinned(rows)} of {len(rows)} in bins too small to judge"
    for one in bins:
        yield (
            f"      {one.low:.2f} to {one.high:.2f}  n {one.n:7}  stated {one.stated:.4f}  observed {one.observed:.4f}"
            f"  +- {one.error:.4f}  {_mark(one.holds)}"
        )


def _speed(found: Sequence[Outcome]) -> Iterator[str]:
    weight = sum(one.weight for one in found)
    odds = 1000 * sum(one.weight * one.seconds for one in found) / weight
    took = sorted(one.seconds for one in found)
    yield (
        f"ONE VERDICT  mean at the documented odds {odds:.2f} ms  {_mark(odds <= 1)}; over all bookings here"
        f" {1000 * fmean(took):.2f} ms, median {1000 * took[len(took) // 2]:.2f} ms"
    )


def _doubted(one: Outcome) -> bool:
    return one.first != "as booked"


def _share(some: Sequence[Outcome], whole: Sequence[Outcome]) -> str:
    return f"{100 * len(some) / len(whole):.1f} %" if whole else "none"


def _mark(holds: bool) -> str:
    return "[holds]" if holds else "[MISSED]"
