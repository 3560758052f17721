"""What laws and rules say of one chord, in words: laws side by side, rest by the route's rule, speeding up.

Movement is shown as elsewhere: negative is closing. A law's own A counts closing as positive, as the law is written.
"""

from __future__ import annotations

from collections.abc import Iterator

from fieldtui.counted import counted
from fieldtui.movement.acceleration import NOTICED, Bend
from fieldtui.movement.answer import Answer
from fieldtui.movement.review import Review, told_figures
from fieldtui.movement.stability import Told
from fieldtui.reduction import show_u
from fieldtui.route import Route, Stability, Units
from fieldtui.tui.lines import Line, Lines, fit, width_of, wrapped

NOT_ONE = "The laws share these readings and disagree on what comes. None of them is the truth."
NO_GROUND = "This is the route's rule for figures. It says nothing about the ground."
_NAME, _END, _SHARE, _REST = 14, 18, 14, 30
_YEARS = 1000
"""Days from which years are said."""


def law_lines(told: Review, route: Route, width: int) -> Lines:
    """Each law in a line of its own with what it says of the end value and of rest, its figures and remarks below."""
    lines = wrapped(_counted(told), width, "quiet")
    answering = [one for one in told.answers if one.answers]
    if not answering:
        lines += wrapped("▲ The readings cannot tell where this ends: no law answers.", width, "notice")
    elif len(answering) > 1:
        lines += wrapped(NOT_ONE, width)
    resting = "at rest by the rule" if _beside(width) else ""
    head = f"{'law':<{_NAME}}{f'end, {route.units.small} (95 %)':<{_END}}{'reached':<{_SHARE}}{resting}"
    lines.append(fit([(head, "quiet")], width))
    for answer in told.answers:
        lines += _law(answer, told, route, width)
    return lines


def _counted(told: Review) -> str:
    count, origin = len(told.chord.course), told.chord.course.origin_known
    since = "the face passing" if origin else "the first reading (when the face passed is not known)"
    read = counted(count, "reading that counts", "readings that count")
    return f"{read}; time from {since}; end values from the baseline, negative is closing."


def _law(answer: Answer, told: Review, route: Route, width: int) -> Lines:
    name = f"{answer.law.name:<{_NAME}}"
    if not answer.answers or answer.end is None or answer.end.low is None or answer.end.high is None:
        first, *rest = wrapped(answer.refusal, max(20, width - _NAME), "notice")
        return [[(name, "main"), *first], *([(" " * _NAME, ""), *line] for line in rest)]
    places = route.units.decimals - 1
    low, high = sorted((-answer.end.low, -answer.end.high))
    end = f"{_signed(low, places)} to {_signed(high, places)}"
    share, resting = _share(told.moving.closing, answer.end.low, answer.end.high), _rest(answer, route)
    line: Line = [(name, "main"), (f"{end:<{_END}}", ""), (f"{share:<{_SHARE}}", "")]
    below: list[tuple[str, str]] = []
    if _beside(width) and width_of(line) + len(resting) <= width:
        line.append((resting, ""))
    else:
        below.append((f"at rest by the rule: {resting}", ""))
    figures = told_figures(answer)
    if figures:
        below.append((f"{answer.law.formula}: {figures}", "quiet"))
    # the remark on a poor fit is the last one
    poor = None if answer.fits else answer.remarks[-1]
    below += [(remark, "notice" if remark is poor else "") for remark in answer.remarks]
    return [line, *([("  ", ""), *part] for text, role in below for part in wrapped(text, width - 2, role))]


def _beside(width: int) -> bool:
    """Whether what a law says of rest stands in its own line; else below it."""
    return width - _NAME - _END - _SHARE >= _REST


def _signed(value: float, places: int) -> str:
    return f"{round(value, places) + 0.0:+.{places}f}"


def _share(closing: float | None, low: float, high: float) -> str:
    """How much of the end value has been reached, by its interval."""
    if closing is None or low * high <= 0 or closing * low <= 0:
        return "cannot tell"
    least, most = sorted((closing / low, closing / high))
    shown = f"{100 * least:.0f}", f"{100 * most:.0f}"
    return f"{shown[0]} %" if shown[0] == shown[1] else f"{shown[0]} to {shown[1]} %"


def _rest(answer: Answer, route: Route) -> str:
    rest, units = answer.rest, route.units
    if rest is None:
        return "the route has no rule"
    if not answer.fits:
        return "no say: it does not fit"
    if rest.days is None:
        return "not within a hundred years"
    if rest.latest == 0:
        return "now, by its figures"
    if rest.days == 0:
        return f"now; at the latest in {_days(rest.latest)}"
    span = "" if rest.earliest == rest.latest else f" ({_days(rest.earliest)} to {_days(rest.latest)})"
    face = "" if rest.at_face is None else f", face at {rest.at_face:.0f} {units.large}"
    return f"in {_days(rest.days)}{span}{face}"


def _days(days: float | None) -> str:
    if days is None:
        return "over 100 years"
    if days >= _YEARS:
        return f"{days / 365.25:.0f} years"
    return f"{days:.0f} d" if days >= 10 else f"{days:.1f} d"


def rest_lines(told: Review, route: Route, width: int) -> Lines:
    """Speeding up; at rest by the route's rule, condition by condition."""
    lines: Lines = [[("Is it speeding up", "main")]]
    for text, role in _bend(told.bend, route):
        lines += wrapped(text, width, role)
    lines += [[("", "")], [("Is it at rest by the route's rule", "main")]]
    rule = route.stability
    if rule is None or told.resting is None:
        return [*lines, *wrapped("The route states no rule of rest ([stability]).", width)]
    for name, condition, why in _conditions(told, rule, route.units):
        first, *rest = wrapped(why, max(20, width - 24))
        lines.append([(f"{name:<10}", ""), (f"{condition:<13} ", _weight(condition)), *first])
        lines += [[(" " * 24, ""), *line] for line in rest]
    answer = {"yes": "all three hold", "no": "not at rest by the rule", "cannot tell": "cannot tell"}[told.resting.told]
    lines += wrapped(f"Together: {answer}.", width, "main")
    return [*lines, *wrapped(NO_GROUND, width, "quiet")]


def _weight(condition: Told) -> str:
    return "" if condition == "yes" else "notice"


def _bend(bend: Bend | None, route: Route) -> Iterator[tuple[str, str]]:
    units, k = route.units, float(route.coverage_factor)
    if bend is None:
        yield "Cannot tell: it takes five readings at four different times.", "notice"
        return
    rate = f"{-bend.rate:+.{units.decimals}f} ± {show_u(k * bend.rate_u, units)} {units.small}/d"
    grows = f"{bend.bend:+.{units.decimals + 1}f} ± {k * bend.bend_u:.{units.decimals + 1}f} {units.small}/d each day"
    if bend.noticed:
        yield "▲ Yes: by its last readings it moves faster and faster. No law is asked for a forecast.", "notice"
    else:
        yield f"Not noticed: what shows is less than {NOTICED:g} standard uncertainties. A slow growth shows late.", ""
    yield (
        f"Last {bend.readings} readings: rate now {rate}, its size changing by {grows}, "
        f"{bend.z:.1f} standard uncertainties.",
        "quiet",
    )


def _conditions(told: Review, rule: Stability, units: Units) -> Iterator[tuple[str, Told, str]]:
    moving, resting = told.moving, told.resting
    if resting is None:
        return
    unit = f"{units.small}/d"
    rate = "no rate yet" if moving.rate is None else _rate(moving.rate, moving.rate_u, units)
    yield "rate", resting.rate, f"{rate}; the rule asks for less than {rule.rate_below} {unit}"
    fastest = "" if moving.fastest is None else f"; the fastest was {_rate(moving.fastest, moving.fastest_u, units)}"
    yield "falling", resting.falling, f"slower than at its fastest, and not speeding up{fastest}"
    asked = f"{float(rule.share_of_end) * 100:.0f} % of the end value, by every law that answers and fits"
    yield "reached", resting.share, asked


def _rate(rate: float, u: float, units: Units) -> str:
    return f"{_signed(-rate, units.decimals)} ± {show_u(u, units)} {units.small}/d"
