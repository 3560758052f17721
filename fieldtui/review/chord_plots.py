"""A chord's plots: movement by date and by distance from the face, inverse velocity. A law may be drawn in."""

from __future__ import annotations

from zoneinfo import ZoneInfo

from fieldtui.movement.answer import Answer
from fieldtui.movement.chart import draw_chart
from fieldtui.movement.charts import face_chart, inverse_chart, time_chart
from fieldtui.movement.inverse_velocity import MATTER
from fieldtui.movement.review import Review
from fieldtui.review.study import Study
from fieldtui.route import ChordKey
from fieldtui.tui.lines import Lines, rule, stack, wrapped

Drawn = tuple[Review | None, Answer | None]
"""What was computed of the chord, and the law that is drawn through its readings."""


def by_time(study: Study, key: ChordKey, drawn: Drawn, width: int, height: int) -> Lines:
    """Exactly `height` lines, the title's among them."""
    told, answer = drawn
    chart = time_chart(study.job, key, width, told.chord if told is not None else None, answer)
    return [rule("Movement since the start, by date; closing downwards", width), *draw_chart(chart, width, height - 1)]


def by_face(study: Study, key: ChordKey, drawn: Drawn, width: int, height: int) -> Lines:
    """Exactly `height` lines, the title's among them."""
    told, answer = drawn
    chart = face_chart(study.job, key, study.faces, width, told.chord if told is not None else None, answer)
    title = rule("Movement since the start, by distance from the face; closing downwards", width)
    station = study.job.route.station(key[0])
    if not chart.points:
        why = "This station names no face." if station is None or station.face is None else "No chainage was booked."
        return stack([title, [(f" {why}", "quiet")]], width, height)
    return [title, *draw_chart(chart, width, height - 1)]


def by_inverse(study: Study, told: Review | None, width: int, height: int) -> Lines:
    """Inverse velocity with what it is for. Exactly `height` lines, the title's among them."""
    route = study.job.route
    words = [[(" ", ""), *line] for line in wrapped(MATTER, width - 2, "main")]
    words += [
        [(" ", ""), *line]
        for line in wrapped(
            "Days for one unit of closing; rates of closing that are clearly some, and no others. Low is fast.",
            width - 2,
            "quiet",
        )
    ]
    title = rule("Inverse velocity, by date", width)
    room = max(0, height - 1 - len(words))
    if told is None or not told.inverse:
        none = [[(" No rate of closing is clearly more than its uncertainty: there is nothing to draw.", "")]]
        return stack([title, *none, *words], width, height)
    zone = ZoneInfo(route.time_zone)
    chart = inverse_chart(told.inverse, float(route.coverage_factor), f"d/{route.units.small}", width, zone)
    return stack([title, *draw_chart(chart, width, room), *words], width, height)
