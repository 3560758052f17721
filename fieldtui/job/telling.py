"""What an assessment says, in the words and figures that every front shows: label, text, weight.

The screen gives a weight a colour and a shape, the line-by-line walk prints the words as they are, and the log books
them as what the surveyor was shown.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from datetime import datetime, timedelta
from decimal import Decimal
from functools import lru_cache
from types import MappingProxyType
from typing import Any
from zoneinfo import ZoneInfo

from fieldtui.job.live import FrameAssessment
from fieldtui.job.telling_proof import tell_frame_moved
from fieldtui.job.told import Told as Told
from fieldtui.reduction import (
    Assessment,
    Cause,
    Explanation,
    Quantity,
    Rate,
    Repeats,
    Verdict,
    hours,
    show_change,
    show_length,
    show_u,
    to_tell,
)
from fieldtui.route import Chord, Route


def tell_chord(
    route: Route,
    chord: Chord,
    assessment: Assessment,
    verdict: Verdict | None = None,
    *,
    also: tuple[Told, ...] = (),
    typing: bool = False,
) -> tuple[Told, ...]:
    """What a chord's booking says, what must not be missed first. Expanded uncertainties at the route's factor.

    `verdict` is None until all figures are in: nothing that could lead the eye is said before. `also` is what else is
    known of the reading. While a figure is being typed only lengths and changes are said: half a number is no reading,
    and must raise no alarm.
    """
    told = list(_lengths(route, assessment))
    if not typing:
        groups = [*(tuple(group) for group in _meaning(route, chord, assessment, verdict)), also]
        groups.sort(key=lambda group: not any(one.weight in ("notice", "alarm") for one in group))
        told += [one for group in groups for one in group]
    return tuple(told)


def tell_verdict(verdict: Verdict) -> tuple[Told, ...]:
    """Whether the figures can be right; if not, what they look like, how likely, and what to look at."""
    first, *others = verdict.explanations
    if not verdict.doubted:
        basis = verdict.expectation.basis if verdict.expectation is not None else "nothing to hold it against"
        agrees = Told("agrees", f"as booked, {_likely(first.probability)} ({basis})")
        return (agrees, *_or(others, OF_WHAT_AGREES))
    label = "not sure" if verdict.agrees else "looks like"
    looks = Told(label, f"{_cause(first)}, {_likely(first.probability)}", "alarm")
    return (looks, *_or(others, WORTH_SAYING), Told("look", verdict.look_at, "notice"))


def _or(others: Iterable[Explanation], least: float) -> list[Told]:
    """The two likeliest of the other explanations, as far as they are as likely as this."""
    said = [one for one in others if one.probability >= least][:2]
    return [Told("or", f"{_cause(one)}, {_likely(one.probability)}", "notice") for one in said]


def verdict_data(verdict: Verdict) -> dict[str, Any]:
    """A verdict as the log books it: what the surveyor was shown, never worked out again."""
    return {
        "agrees": verdict.agrees,
        "explanations": [
            {"cause": one.cause, "detail": one.detail, "probability": round(one.probability, 3)}
            for one in verdict.explanations
        ],
    }


def tell_frame(route: Route, assessment: FrameAssessment) -> tuple[Told, ...]:
    """What a reading of the control frame says."""
    repeats = assessment.repeats
    return (*tell_frame_moved(route, assessment), *(_repeats(route, repeats) if repeats is not None else ()))


def shown(told: tuple[Told, ...]) -> dict[str, str]:
    """What was shown, as the log books it."""
    texts: dict[str, str] = {}
    label = ""
    for one in told:
        label = one.label or label
        texts[label] = f"{texts[label]}; {one.text}" if label in texts else one.text
    return texts


def local_time(route: Route, time: datetime) -> str:
    """Day and minute in the route's zone."""
    return _local_time(route.time_zone, time)


@lru_cache(maxsize=64)
def _local_time(zone: str, time: datetime) -> str:
    return time.astimezone(ZoneInfo(zone)).strftime("%d %b %H:%M")


CAUSES: Mapping[Cause, str] = MappingProxyType(
    {
        "as booked": "as booked",
        "real movement": "real movement",
        "hole": "hole misread",
        "dial": "dial misread",
        "one repeat": "one repeat misread",
        "temperature": "temperature misread",
        "other chord": "another chord",
        "other station": "another station",
        "tape": "another tape",
        "zero": "zero moved",
        "anchor": "anchor struck or loose",
        "seating": "tape caught or hook not seated",
        "date": "wrong date, or figures copied",
        "earlier reading": "an earlier reading was wrong",
    }
)
"""What an explanation is called on the screen."""
OF_WHAT_AGREES = 0.05
"""So likely is what is told beside figures that agree: they agree though their repeats scatter."""
WORTH_SAYING = 0.01
"""Explanations that are less likely are in the log, and not on the screen."""


def _cause(one: Explanation) -> str:
    called = CAUSES[one.cause]
    # a detail that has these words of its own is not led in by them
    if set(called.split()) <= set(one.detail.replace(":", " ").split()):
        return one.detail
    return f"{called}: {one.detail}" if one.detail else called


def _likely(probability: float) -> str:
    """A probability as a person reads it; never certainty."""
    if probability > 0.99:
        return "more than 99 %"
    return "less than 1 %" if probability < 0.01 else f"{100 * probability:.0f} %"


def _lengths(route: Route, assessment: Assessment) -> Iterator[Told]:
    """The length and its change since the last reading."""
    units, k = route.units, float(route.coverage_factor)
    length = assessment.length
    if length is None:
        return
    assumed = f", tape at {length.figures.temperature} assumed" if assessment.temperature_assumed else ""
    yield Told(
        "length", f"{show_length(length.value, units)} ±{show_u(k * length.u, units)} {units.small}{assumed}", "main"
    )
    last_time, passed = assessment.last_time, assessment.time_since_last
    if assessment.since_last is not None and last_time is not None and passed is not None:
        yield Told("since last", _change(route, assessment.since_last, assessment.since_last_word), "main")
        yield Told("", _last_read(route.time_zone, last_time, passed), "quiet")
    else:
        yield Told("since last", "no earlier reading with this tape", "quiet")


def _meaning(route: Route, chord: Chord, assessment: Assessment, verdict: Verdict | None) -> Iterator[Iterable[Told]]:
    """What else a reading says, group by group."""
    doubted = verdict is not None and verdict.doubted
    repeats = tuple(_repeats(route, assessment.repeats)) if assessment.repeats is not None else ()
    apart = assessment.repeats is not None and assessment.repeats.agree is False
    if verdict is not None and doubted:
        yield tell_verdict(verdict)
    if apart:
        yield repeats  # before the levels: one misread repeat can raise them
    if assessment.length is not None:
        # a level is named at once, whatever else the figures look like
        yield _levels(route, chord, assessment, doubted=doubted)
        yield (_baseline(route, assessment),)
        yield (_rate(route, assessment.rate),)
    if verdict is not None and not doubted:
        yield tell_verdict(verdict)
    if not apart:
        yield repeats


def _change(route: Route, moved: Quantity, word: str | None) -> str:
    expanded = show_u(float(route.coverage_factor) * moved.u, route.units)
    return f"{show_change(moved.value, route.units)} ±{expanded} {route.units.small}, {word}"


@lru_cache(maxsize=16)
def _last_read(zone: str, time: datetime, passed: timedelta) -> str:
    """When the last reading was. Kept: it is the same while a figure is typed."""
    span = _span(hours(abs(passed)))
    ago = f"{span} ago" if passed >= timedelta(0) else f"{span} later than now by this clock"
    return f"{ago}, {_local_time(zone, time)}"


def _span(of_hours: Decimal) -> str:
    return f"{of_hours:.1f} h" if of_hours < 72 else f"{of_hours / 24:.0f} days"


def _baseline(route: Route, assessment: Assessment) -> Told:
    if assessment.since_baseline is not None:
        text = _change(route, assessment.since_baseline, assessment.since_baseline_word)
        return Told("since start", text, "main")
    wanted = route.baseline_sets
    return Told("since start", f"this is baseline set {assessment.baseline_sets_in} of {wanted}", "quiet")


def _rate(route: Route, rate: Rate | None) -> Told:
    if rate is None:
        return Told("rate", f"no reading {route.rate_over_hours:f} h or more before", "quiet")
    expanded = show_u(float(route.coverage_factor) * rate.u, route.units)
    over = _span(rate.hours)
    return Told("rate", f"{show_change(rate.value, route.units)} ±{expanded} {route.units.small}/d over {over}")


def _levels(route: Route, chord: Chord, assessment: Assessment, *, doubted: bool = False) -> Iterator[Told]:
    if not chord.levels:
        yield Told("level", "none set for this chord", "quiet")
        return
    if not assessment.levels:
        yield Told("level", "nothing to hold against it yet", "quiet")
        return
    over = to_tell(assessment.levels)
    if not over:
        yield Told("level", "below the route's levels")
        return
    units = route.units
    for one in over:
        day = "/d" if one.what == "rate" else ""
        true = ", if true" if doubted else ""
        says = f"{one.state}{true}: {one.level} ({one.what} {one.limit:f} {units.small}{day})"
        yield Told("level", says, "alarm" if one.state == "above" else "notice")
    worst = next(level for level in chord.levels if level.name == over[0].level)
    yield Told("respond", worst.response, "notice")
    yield Told("tell", ", ".join(worst.tell), "notice")


def _repeats(route: Route, repeats: Repeats) -> Iterator[Told]:
    if repeats.agree is None or repeats.critical_range is None:
        return
    units = route.units
    allowed = f"{repeats.critical_range:.{units.decimals}f} {units.small}"
    compared = f"range {repeats.range:.{units.decimals}f} of {allowed}"
    if repeats.agree:
        yield Told("repeats", f"agree, {compared}")
        return
    odd = f"dial {repeats.odd + 1} stands apart, " if repeats.odd is not None else ""
    yield Told("repeats", f"DO NOT AGREE: {odd}{compared}", "notice")
