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
    yield f"  clean readings more than {NEVER_BEYOND:g} standard uncertainties off, {moved} here, count as movement:"
    yield "  they are never `as booked`. A bin holds within 5 points, or 3 errors of a weighted share (binomial error)"
    pooled: list[Row] = []
    by_cause: dict[str, list[Row]] = {}
    for one in weighing:
        true = "real movement" if _jumped(one) else CAUSE[one.label]
        clean = dict(one.listed)["as booked"]
        for cause, probability in one.listed:
            row = (probability, cause == true, one.weight, clean if cause == "as booked" else -clean)
            pooled.append(row)
            by_cause.setdefault(cause, []).append(row)
    yield from _bins("pooled", pooled)
    for cause in dict.fromkeys(CAUSE.values()):
        yield from _bins(cause, by_cause.get(cause, []))
    yield ""


def _jumped(one: Outcome) -> bool:
    return one.label == "as booked" and abs(one.residual) > NEVER_BEYOND * one.spread


def _bins(words: str, rows: Sequence[Row]) -> Iterator[str]:
    bins: list[Bin] = calibration(rows, ODDS["as booked"])
    held, binomial = sum(one.holds for one in bins), sum(one.holds_binomial for one in bins)
    small = f"{unbinned(rows)} of {len(rows)} in bins too small to judge"
    yield f"  {words}: {held} of {len(bins)} bins hold ({binomial} by the binomial error alone); {small}"
    for one in bins:
        yield (
            f"      {one.low:.2f} to {one.high:.2f}  n {one.n:7}  stated {one.stated:.4f}  observed {one.observed:.4f}"
            f"  +- {one.error:.4f} ({one.binomial:.4f})  {mark(one.holds)}"
        )
