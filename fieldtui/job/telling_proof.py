"""What proves the instrument, in words: the frame's reading, the dial zero, and on every length what is in doubt."""

from __future__ import annotations

from collections.abc import Iterator

from fieldtui.job.live import FrameAssessment, proof_now
from fieldtui.job.proof import zero_limit, zeros_of
from fieldtui.job.readings import frame_lengths
from fieldtui.job.told import Told
from fieldtui.job.walk import Walk
from fieldtui.reduction import Quantity, show_change, show_length, show_u
from fieldtui.reduction.chart import Chart
from fieldtui.reduction.frame_proof import FrameProof
from fieldtui.route import Route
from fieldtui.survey import EntryRefused, Target, number

_NOT_THE_FRAME = 20
"""Limits of the frame: no tape stretches by so much between two surveys and still hooks (common practice)."""


def tell_frame_moved(route: Route, assessment: FrameAssessment) -> Iterator[Told]:
    """What a reading of the control frame says, but for its repeats."""
    units, k = route.units, float(route.coverage_factor)
    length, proof = assessment.length, assessment.proof
    if length is None or proof is None:
        return
    yield Told("frame", f"{show_length(length.value, units)} ±{show_u(k * length.u, units)} {units.small}", "main")
    verdict = proof.limit
    if verdict is None:
        yield Told("frame moved", "first survey that reads the frame with this instrument", "quiet")
    else:
        yield Told("frame moved", _moved(route, verdict.difference), "main")
        if abs(verdict.difference.value) > _NOT_THE_FRAME * verdict.limit:
            told = "this is not what a frame does: a hole misread, or another chord's figures? Read it again"
            yield Told("look", told, "alarm")
        limit = f"limit {verdict.limit:f} {units.small}"
        if verdict.over_limit:
            sure = "BEYOND" if verdict.state == "beyond" else "over, though not by more than can be told:"
            yield Told("instrument", f"{sure} {limit}; lengths of this survey are in doubt", "alarm")
        else:
            yield Told("instrument", f"within its {limit}")
    yield from _history(route, proof, assessment.chart)
    yield from _apart(route, proof)
    if proof.doubts:
        yield Told("", "read the frame again, or change the instrument", "notice")
    if verdict is not None and route.controls and route.controls[0].correct:
        yield Told("taken off", "start and end, averaged: a constant, not a stretch of the tape", "quiet")


def _history(route: Route, proof: FrameProof, chart: Chart | None) -> Iterator[Told]:
    """Against the frame's own readings in the surveys before."""
    if chart is None or not chart.points:
        return
    limits, point, units = chart.limits, proof.point, route.units
    if limits is None or point is None:
        yield Told("history", f"{len(chart.first_set)} of {chart.size} surveys for limits of its own", "quiet")
        return
    off = f"{_signed(route, point.value - limits.centre)} of ±{_plain(route, limits.half_width)} {units.small}"
    if point.outside:
        yield Told("history", f"OUTSIDE what is usual, {off}: this survey is in doubt", "alarm")
    else:
        yield Told("history", f"usual, {off}")
    if point.drifted and point.ewma is not None:
        mean = _signed(route, point.ewma - limits.centre)
        width = _plain(route, limits.ewma_half_width)
        told = f"DRIFTS: mean {mean} of ±{width} {units.small}; marked on every length. A stretched tape, a worn hook?"
        yield Told("drift", told, "alarm")


def _apart(route: Route, proof: FrameProof) -> Iterator[Told]:
    """The end against the start of this survey."""
    if proof.apart is None:
        return
    moved = _moved(route, proof.apart.difference)
    if proof.differs:
        yield Told("end - start", f"{moved}: not one instrument; this survey is in doubt", "alarm")
    elif abs(float(proof.apart.difference.value)) > proof.apart.expanded:
        yield Told("end - start", f"{moved}: more than its uncertainty", "notice")
    else:
        yield Told("end - start", moved)


def tell_zero(walk: Walk, target: Target, typed: str = "") -> Iterator[Told]:
    """What a dial zero says, booked or being typed: against the survey's first, and against the survey before."""
    booking = walk.state.bookings.get(target)
    serial = booking.extensometer if booking is not None else walk.state.answer("extensometer") or ""
    text = typed or (booking.slots["zero"].typed if booking is not None and "zero" in booking.slots else "")
    before = walk.job.zero_before(walk.survey, serial) if walk.job is not None else None
    if before is not None:
        yield Told("last survey", f"its last dial zero was {before:f}", "quiet")
    try:
        shown = number(text)
    except EntryRefused:
        return
    first = zeros_of(walk.state.bookings, serial)
    units, limit = walk.route.units, zero_limit(walk.route, serial)
    if not first or (booking is not None and target.part == "start" and target.reading == 1):
        if before is not None and abs(shown - before) > limit:
            moved = f"{show_change(shown - before, units)} {units.small} since the last survey"
            yield Told("dial zero", f"{moved}: set it as the instrument's instructions say", "notice")
        return
    moved = f"{show_change(shown - first[0], units)} {units.small} since the start"
    # the route's limit as it is stated there; one that is worked out with the decimals of a figure
    stated = bool(walk.route.controls) or not limit.is_finite()
    told = f"{limit:f}" if stated else show_length(limit, units)
    if abs(shown - first[0]) > limit:
        yield Told("dial zero", f"MOVED {moved}, more than {told}: this survey is in doubt", "alarm")
        yield Told("", "set it as the instrument's instructions say, and read the frame again", "notice")
    else:
        yield Told("dial zero", f"{moved}, within {told}")


def tell_proof(walk: Walk, target: Target) -> Iterator[Told]:
    """On a length: whether its survey is in doubt over the instrument, what is marked, what the frame takes off.

    No alarm: that was given where the frame was read.
    """
    booking = walk.state.bookings.get(target)
    tape = booking.tape if booking is not None else walk.state.answer("tape") or ""
    extensometer = booking.extensometer if booking is not None else walk.state.answer("extensometer") or ""
    proof = proof_now(walk, (tape, extensometer))
    for doubt in proof.doubts:
        yield Told("IN DOUBT", doubt)
    for mark in proof.marks:
        yield Told("marked", mark)
    shift = walk.frame_shift(tape, extensometer)
    if shift is not None:
        expanded = show_u(float(walk.route.coverage_factor) * shift.u, walk.route.units)
        moved = f"the frame's change, {show_change(shift.value, walk.route.units)} ±{expanded} {walk.route.units.small}"
        ended = "end" in frame_lengths(walk.route, walk.state, walk.survey).get((tape, extensometer), {})
        so_far = "" if ended else "; by the start alone until the end is read"
        yield Told("taken off", f"{moved}: a constant, not a stretch of the tape{so_far}", "quiet")


def tell_instruments(walk: Walk) -> Iterator[Told]:
    """At the end: with which instruments the lengths of this survey are in doubt or marked, and why."""
    read = (one for target, one in walk.state.bookings.items() if target.is_chord and one.was_read)
    for tape, extensometer in dict.fromkeys((one.tape, one.extensometer) for one in read):
        proof = proof_now(walk, (tape, extensometer))
        named = f"lengths read with {tape} and {extensometer}"
        if proof.doubts:
            yield Told("", f"{named} are in doubt: {proof.doubt}", "alarm")
        if proof.marks:
            yield Told("", f"{named} are marked: {proof.mark}", "notice")


def _moved(route: Route, moved: Quantity) -> str:
    expanded = show_u(float(route.coverage_factor) * moved.u, route.units)
    return f"{show_change(moved.value, route.units)} ±{expanded} {route.units.small}"


def _plain(route: Route, width: float) -> str:
    return f"{width:.{route.units.decimals}f}"


def _signed(route: Route, off: float) -> str:
    return f"{round(off, route.units.decimals) + 0.0:+.{route.units.decimals}f}"
