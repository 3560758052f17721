"""The control frame's chart of each tape with extensometer, by date: what the walk shows, for paper.

    InstrumentPage ── frame_plot ──► Figure

Filled points are surveys, squares those outside the limits, the line is the weighted mean. Dashed: the limits, of the
chart's own set or, before there is one, the route's; dash-dotted: where they were frozen.
"""

from __future__ import annotations

from fieldtui.counted import counted
from fieldtui.handover.report.plots import HIGH, NARROW, WIDE, by_date
from fieldtui.handover.report.svg import ALARM, LEVEL, POINT, QUIET, RULE, Figure, as_svg, drawing
from fieldtui.handover.report.words import Words
from fieldtui.handover.texts import visible
from fieldtui.job.instrument import InstrumentPage
from fieldtui.reduction.chart import Chart


def frame_plot(page: InstrumentPage, words: Words, number: int) -> Figure | None:
    """None where the frame was not read with it."""
    chart = page.chart
    if not chart.points or page.limit is None:
        return None
    centre, half = _lines(chart, float(page.limit))
    at = [point.at.astimezone(words.zone).replace(tzinfo=None) for point in chart.points]
    with drawing(WIDE + NARROW, HIGH) as made:
        axes = made.add_subplot()
        axes.axhline(0.0, color=RULE, linewidth=0.6)
        for edge in (half, -half):
            axes.axhline(edge, color=LEVEL, linewidth=1.0, linestyle=(0, (5, 2)))
        for outside, colour, sign in ((False, POINT, "o"), (True, ALARM, "s")):
            some = [place for place, point in enumerate(chart.points) if point.outside is outside]
            axes.plot(
                [at[place] for place in some],  # type: ignore[arg-type]
                [chart.points[place].value - centre for place in some],
                sign,
                markersize=3.6,
                color=colour,
            )
        mean = [
            (day, point.ewma - centre) for day, point in zip(at, chart.points, strict=True) if point.ewma is not None
        ]
        if mean:
            axes.plot([day for day, _ in mean], [off for _, off in mean], color=QUIET, linewidth=1.0)  # type: ignore[arg-type]
            axes.axvline(mean[0][0], color=QUIET, linewidth=0.9, linestyle="-.")  # type: ignore[arg-type]
        axes.set_title(f"tape {visible(page.tape)}, extensometer {visible(page.extensometer)}", loc="left", fontsize=8)
        axes.set_ylabel(words.small)
        axes.margins(x=0.03, y=0.08)
        by_date(axes)
        svg = as_svg(made, f"frame-{number}")
    return Figure(svg, f"{_named(page)}: control frame, survey by survey. {_told(page, words)}", _caption(page, words))


def _lines(chart: Chart, limit: float) -> tuple[float, float]:
    if chart.limits is not None:
        return chart.limits.centre, chart.limits.half_width
    return (chart.first_set or chart.points)[0].value, limit


def _named(page: InstrumentPage) -> str:
    return f"Tape {visible(page.tape)} with extensometer {visible(page.extensometer)}"


def _told(page: InstrumentPage, words: Words) -> str:
    outside = sum(point.outside for point in page.chart.points)
    last = page.chart.points[-1]
    off = last.value - _lines(page.chart, float(page.limit or 0))[0]
    drifts = " The weighted mean is outside its limits: it drifts." if last.drifted else ""
    return (
        f"{counted(len(page.chart.points), 'survey')}, {outside} outside the limits; the last, on "
        f"{words.day(last.at)}, at {off:+.{words.route.units.decimals}f} {words.small}.{drifts}"
    )


def _caption(page: InstrumentPage, words: Words) -> str:
    limits, first, digits = page.chart.limits, page.chart.first_set, words.route.units.decimals
    if limits is None:
        return (
            f"{_named(page)}: counted from the first reading; dashed, the route's limit. "
            f"{len(first)} of the {page.chart.size} surveys are in that limits of its own are frozen from."
        )
    return (
        f"{_named(page)}: counted from the mean of the first {page.chart.size} surveys, "
        f"{words.day(first[0].at)} to {words.day(first[-1].at)}, which also give the limits, dashed: "
        f"±{limits.half_width:.{digits}f} {words.small}. The line is the weighted mean, its limits "
        f"±{limits.ewma_half_width:.{digits}f}."
    )
