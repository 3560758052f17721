"""The instruments of a job in lines: each pair of tape and extensometer, repeatability, care, certificates. Pure.

Instruments ── sheets ──► one sheet for each pair, one for repeatability, one for care and certificates
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import datetime
from itertools import groupby
from zoneinfo import ZoneInfo

from fieldtui.counted import counted
from fieldtui.job.care import Certificate, Tended
from fieldtui.job.instrument import InstrumentPage, Instruments, Repeatability, SurveyProof
from fieldtui.reduction.chart import Chart
from fieldtui.reduction.pooled import Pooled
from fieldtui.route import Route
from fieldtui.tui.frame_chart import draw_frame_chart
from fieldtui.tui.lines import Line, Lines, rule, wrapped

_CHART_ROWS = 9
_NAMES = 16
_STATES = {"has run out": ("■ ", "alarm"), "runs out soon": ("▲ ", "notice")}


def sheets(told: Instruments, route: Route, width: int) -> list[Lines]:
    """Every sheet, as many lines as it takes."""
    pairs = [list(_pair(page, route, width)) for page in told.pages]
    if not pairs:
        pairs = [[_line("Nothing was read with any instrument yet.")]]
    repeats = [_title("Repeatability as it was, against what the route states"), *_repeats(told.repeatability, route)]
    care = [_title("Care, by the route's list"), *_care(told.care, route, width), _line("")]
    papers = [_title("Certificates"), *_certificates(told.certificates)]
    return [*pairs, repeats, [*care, *papers]]


def _title(text: str) -> Line:
    return [(text, "main")]


def _line(text: str, role: str = "") -> Line:
    return [(text, role)]


# -- one pair -----------------------------------------------------------------------------------------------------


def _pair(page: InstrumentPage, route: Route, width: int) -> Iterator[Line]:
    units = route.units
    surveys = counted(len(page.surveys), "survey")
    others = len(page.chart.points) - sum(bool(one.frames) for one in page.surveys)
    more = f"; {others} of other routes in the chart" if others > 0 else ""
    yield _title(f"Tape {page.tape} with extensometer {page.extensometer}: {surveys}{more}")
    if page.limit is None:
        yield from wrapped("The route has no control frame: nothing proves this instrument but its dial zero.", width)
    else:
        yield rule(f"control frame, one mark a survey, in {units.small}", width)
        limit = float(page.limit)
        yield from draw_frame_chart(
            page.chart, None, width, _CHART_ROWS, limit=limit, unit=units.small, decimals=units.decimals
        )
        yield from wrapped(_limits(page.chart, route), width, "quiet")
        yield from wrapped(_route_limit(page, route), width, "quiet")
    yield from _listed(
        "In doubt, and why", "no survey", ((one, one.proof.doubts) for one in page.surveys), width, route
    )
    yield from _listed(
        "Marked on every length", "nothing", ((one, one.proof.marks) for one in page.surveys), width, route
    )


def _limits(chart: Chart, route: Route) -> str:
    """From which set the limits are, and how wide."""
    first, decimals, limits = chart.first_set, route.units.decimals, chart.limits
    if not first or limits is None:
        return (
            f"Limits of its own after {chart.size} surveys; {len(first)} are in. Until then the route's limit counts."
        )
    span = f"{_day(first[0].at, route)} to {_day(first[-1].at, route)}"
    wide = f", {limits.left_out} too wide left out" if limits.left_out else ""
    return (
        f"Limits ±{limits.half_width:.{decimals}f}, of the weighted mean ±{limits.ewma_half_width:.{decimals}f} "
        f"{route.units.small}: frozen from the first {chart.size} surveys, {span}, "
        f"by {limits.ranges} moving ranges{wide}."
    )


def _route_limit(page: InstrumentPage, route: Route) -> str:
    limit = f"The route's limit is {page.limit} {route.units.small}, against the first survey."
    if not page.correct:
        return f"{limit} The frame's change is not taken off the lengths."
    return (
        f"{limit} The frame's change, start and end averaged, is taken off every length, as a constant: right for an "
        "error of zero or hook, not for a stretched tape."
    )


def _listed(
    title: str, none: str, of: Iterable[tuple[SurveyProof, tuple[str, ...]]], width: int, route: Route
) -> Iterator[Line]:
    """Surveys in a row that say the same stand in one line."""
    said = [(one, "; ".join(words)) for one, words in of]
    found = [(words, [one for one, _ in several]) for words, several in groupby(said, key=lambda pair: pair[1])]
    found = [(words, several) for words, several in found if words]
    yield _line("")
    yield _title(f"{title}: {none}" if not found else title)
    for words, several in reversed(found):
        first, last = several[0], several[-1]
        when = first.label if len(several) == 1 else f"{first.label} to {last.label}, {len(several)} surveys"
        for number, line in enumerate(wrapped(f"{when}: {words}", width - 2)):
            yield [("  " if number == 0 else "    ", ""), *line]


def _day(at: datetime, route: Route) -> str:
    return at.astimezone(ZoneInfo(route.time_zone)).strftime("%d %b %Y")


# -- repeatability, care, certificates ----------------------------------------------------------------------------


def _repeats(told: Iterable[Repeatability], route: Route) -> Iterator[Line]:
    decimals, small = route.units.decimals + 1, route.units.small
    for one in told:
        yield _line("")
        yield _title(
            f"Extensometer {one.extensometer}: {one.stated} {small} stated, one repeat, one standard deviation"
        )
        if one.every is None:
            yield _line("  nothing read with it lately", "quiet")
            continue
        yield _pooled(f"{one.surveys} last surveys", one.every, one, decimals)
        for who, pooled in one.by_observer:
            yield _pooled(who or "not named", pooled, one, decimals)


def _pooled(name: str, found: Pooled, told: Repeatability, decimals: int) -> Line:
    stands = found.against(told.stated)
    shape, role = ("▲ ", "notice") if stands == "larger than stated" else ("", "")
    if stands == "too few":
        return [(f"  {name[:_NAMES]:<{_NAMES}} too few to tell: {counted(found.readings, 'reading')}", "quiet")]
    figures = (
        f"{found.s:.{decimals}f}  ({found.low:.{decimals}f} to {found.high:.{decimals}f}, {found.readings} readings)"
    )
    return [(f"  {name[:_NAMES]:<{_NAMES}} {figures}  ", ""), (f"{shape}{stands}", role)]


def _care(told: Iterable[Tended], route: Route, width: int) -> Iterator[Line]:
    listed = list(told)
    if not listed:
        yield _line("  the route lists none", "quiet")
    for one in listed:
        last = "never booked"
        if one.last is not None:
            where = f", {one.last.route}" if one.last.route else ""
            last = f"last {_day(one.last.at, route)} by {one.last.by or 'somebody'}{where}"
        due = f"▲ due since {one.due}" if one.overdue and one.due else "▲ due" if one.overdue else f"due {one.due}"
        for number, line in enumerate(
            wrapped(f"{one.what}, every {counted(one.every_days, 'day')}: {last}", width - 2)
        ):
            yield [("  " if number == 0 else "    ", ""), *line]
        yield _line(f"    {due}", "notice" if one.overdue else "")


def _certificates(told: Iterable[Certificate]) -> Iterator[Line]:
    for one in told:
        shape, role = _STATES.get(one.state, ("", ""))
        until = f"until {one.until}: " if one.until is not None else ""
        yield [(f"  {one.what} {one.serial}: {until}", ""), (f"{shape}{one.state}", role)]
