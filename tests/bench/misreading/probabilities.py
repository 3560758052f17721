"""Are stated probabilities borne out: pooled, and cause by cause."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from fieldtui.reduction.misreading import NEVER_BEYOND

from .figures import Bin, Row, calibration, mark, unbinned
from .run import CAUSE, ODDS, Outcome


def probabilities(found: Sequence[Outcome]) -> Iterator[str]:
    """The bins, and what counts as true in them."""
    weighing = [one for one in found if one.weight]
    moved = sum(_jumped(one) for one in weighing)
    yield "STATED PROBABILITIES, all bookings, reweighted to the documented odds; bins of 1,000 and more"
    said = sum(one.weight * one.jump for one in weighing) / ODDS["as booked"]
    yield f"  clean readings more than {NEVER_BEYOND:g} standard uncertainties off are never `as booked`, but movement:"
    yield f"  {moved} here, by what was stated {said:.1f}. A bin holds within 5 points, or 3 errors of a weighted share"
    yield "  (binomial error)"
    by_cause = stated(weighing)
    yield from _bins("pooled", pooled(by_cause))
    for cause in dict.fromkeys(CAUSE.values()):
        yield from _bins(cause, by_cause.get(cause, []))
    yield ""


def stated(found: Sequence[Outcome]) -> dict[str, list[Row]]:
    """What was stated for each cause, beside whether it was so; without bookings that count in no odds."""
    by_cause: dict[str, list[Row]] = {}
    for one in found:
        if one.weight:
            true = "real movement" if _jumped(one) else CAUSE[one.label]
            clean, right = (one.jump, "real movement") if one.jump else (dict(one.listed)["as booked"], "as booked")
            for cause, probability in one.listed:
                row = (probability, cause == true, one.weight, clean if cause == right else -clean)
                by_cause.setdefault(cause, []).append(row)
    return by_cause


def pooled(by_cause: dict[str, list[Row]]) -> list[Row]:
    """All causes together."""
    return [row for rows in by_cause.values() for row in rows]


def bins_of(rows: Sequence[Row]) -> list[Bin]:
    """Stated probabilities in bins, as far as there are enough of them."""
    return calibration(rows, ODDS["as booked"])


def _jumped(one: Outcome) -> bool:
    return one.label == "as booked" and abs(one.residual) > NEVER_BEYOND * one.spread


def _bins(words: str, rows: Sequence[Row]) -> Iterator[str]:
    bins = bins_of(rows)
    held, binomial = sum(one.holds for one in bins), sum(one.holds_binomial for one in bins)
    small = f"{unbinned(rows)} of {len(rows)} in bins too small to judge"
    yield f"  {words}: {held} of {len(bins)} bins hold ({binomial} by the binomial error alone); {small}"
    for one in bins:
        yield (
            f"      {one.low:.2f} to {one.high:.2f}  n {one.n:7}  stated {one.stated:.4f}  observed {one.observed:.4f}"
            f"  +- {one.error:.4f} ({one.binomial:.4f})  {mark(one.holds)}"
        )
