"""What a reading of the control frame proves: held against the route's limit, its own history, and the survey's start.

    parts of a survey ── charted ──► the one length of it that the chart takes
    length + reference, Chart, start ── prove ──► FrameProof: in doubt and why, drifting or not

Beyond a limit of single readings, the route's or the chart's, a survey is in doubt, and so it is where its two ends
differ by more than the route's limit and more than can be by chance. A drift is marked on every length and told, and
puts no survey in doubt by itself: each reading is still within what is usual, and with a survey that is in doubt
nothing is compared.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime, timedelta
from decimal import Decimal
from itertools import takewhile

from msgspec import Struct
from msgspec.structs import replace

from fieldtui.reduction.chart import Chart, Point
from fieldtui.reduction.frame import FrameVerdict, frame_verdict
from fieldtui.reduction.length import Length
from fieldtui.route.model import Control, Extensometer

PARTS = ("start", "between", "end")
GROSS = 3
"""Limits of the route: a reading farther off than so many from the first one is no reading of this frame, and is not
taken into the set. Nearer ones are: to leave them out as well would make the limits too narrow."""
ONE_READING = timedelta(hours=2)
"""Figures that are alike to the last within so long are one reading: times on paper are rounded, a clock may be off."""
CHANCE = 3.0
"""Standard uncertainties: two readings of one survey are seldom farther apart by chance."""
DRIFTS = "control frame drifts: the weighted mean of its readings is outside its limits"


class FrameProof(Struct, frozen=True):
    """One reading of the frame, judged; parts are None where there is nothing to hold it against."""

    part: str
    limit: FrameVerdict | None = None
    """Against the first survey that read it, by the route's limit."""
    point: Point | None = None
    """In the chart of its history."""
    apart: FrameVerdict | None = None
    """The end against the start of the same survey: apart from all history, and by the route's limit."""

    @property
    def doubts(self) -> tuple[str, ...]:
        """Why the survey is in doubt, in words; empty where it is not."""
        where = f"{'at the ' if self.part != 'between' else ''}{self.part}"
        found = []
        if self.limit is not None and self.limit.over_limit:
            found.append(f"control frame beyond its limit {where}")
        if self.point is not None and self.point.outside:
            found.append(f"control frame outside the limits of its own readings {where}")
        if self.differs:
            found.append("control frame at the end not what it was at the start")
        return tuple(found)

    @property
    def differs(self) -> bool:
        """Whether the end is not what the start was: beyond the route's limit, and beyond chance."""
        apart = self.apart
        if apart is None or not apart.over_limit:
            return False
        return abs(float(apart.difference.value)) > CHANCE * apart.difference.u

    @property
    def drifts(self) -> bool:
        """Whether the weighted mean has left its limits."""
        return self.point is not None and self.point.drifted


def empty_chart(control: Control, extensometer: Extensometer | None) -> Chart:
    """The chart before the first reading: the route's limit guards its set, the dial's step is the least sigma."""
    step = float(extensometer.dial_resolution) if extensometer is not None else 0.0
    return Chart(least_sigma=step, widest=GROSS * float(control.limit))


def charted(parts: Mapping[str, Length]) -> Length | None:
    """The one reading of a survey that its chart takes: the first.

    Readings of one survey lie nearer to each other than those of two: taken as two values they would make the limits
    too narrow.
    """
    return next((parts[part] for part in PARTS if part in parts), None)


def grown(chart: Chart, at: datetime, name: str, parts: Mapping[str, Length]) -> Chart:
    """The chart after a survey, its frame read in these parts.

    A reading that stands in two surveys, as when the frame is read once for two routes or a sheet is booked again under
    another label, is one value: a second one that is alike to the last figure would make the limits too narrow.
    """
    length = charted(parts)
    if length is None or any(point.value == float(length.value) for point in _near(chart, at)):
        return chart
    return chart.after(at, name, float(length.value))


def _near(chart: Chart, at: datetime) -> Iterator[Point]:
    """The points of surveys that were begun so near a time that one reading may stand in both."""
    return takewhile(lambda point: at - point.at <= ONE_READING, reversed(chart.points))


def prove(
    part: str,
    length: Length,
    control: Control,
    coverage: Decimal,
    *,
    reference: Sequence[Length] = (),
    chart: Chart | None = None,
    start: Length | None = None,
    is_charted: bool = True,
) -> FrameProof:
    """Judge one reading. `chart` is that of the surveys before, `start` the survey's first reading where this is its
    last. One that is not the survey's charted reading is held against the limits, and says nothing of a drift.
    """
    limit = frame_verdict(length, reference, control.limit, coverage) if reference else None
    point = None
    if chart is not None and chart.limits is not None:
        point = chart.judge(chart.points[-1].at, "", float(length.value))
        point = point if is_charted else replace(point, ewma=None, drifted=False)
    apart = frame_verdict(length, [start], control.limit, coverage) if start is not None else None
    return FrameProof(part, limit, point, apart)


def prove_all(
    parts: Mapping[str, Length],
    control: Control,
    coverage: Decimal,
    reference: Sequence[Length],
    chart: Chart | None,
) -> tuple[FrameProof, ...]:
    """Every reading of one survey, in order of its parts; what plainly is within the limit is not worked out.

    The survey that gives the reference is not held against itself: its start and end are held against each other.
    """
    if any(one is length for one in reference for length in parts.values()):
        reference = ()
    # a thousand surveys are judged before the start page stands
    if reference and all(_plainly_within(one, reference, control.limit) for one in parts.values()):
        reference = ()
    start, end = parts.get("start"), parts.get("end")
    if start is not None and end is not None and _plainly_within(end, [start], control.limit):
        start = None
    return tuple(
        prove(
            part,
            parts[part],
            control,
            coverage,
            reference=reference,
            chart=chart,
            start=start if part == "end" else None,
            is_charted=parts[part] is charted(parts),
        )
        for part in PARTS
        if part in parts
    )


def _plainly_within(length: Length, reference: Sequence[Length], limit: Decimal) -> bool:
    """Whether no doubt can come of a difference: it is less than the limit by more than any rounding."""
    mean = sum(float(one.value) for one in reference) / len(reference)
    return abs(float(length.value) - mean) < 0.999 * float(limit)
