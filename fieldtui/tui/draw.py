"""The walk's page as lines, from the desk alone: whole at 80 x 24, more plot and section where there is room.

head        route, survey, how far; where the surveyor stands
left        the section with the chord to be read, or what was answered so far
right       what the figures mean; or a list to choose from
route       every planned chord with its change since last (from 140 cells on)
trend       the chord's last readings, or the control frame's chart (from 22 lines on)
form        the fields, message, keys and when the last entry was saved
"""

from __future__ import annotations

from functools import partial
from zoneinfo import ZoneInfo

from fieldtui.counted import counted
from fieldtui.survey import Target, instruments
from fieldtui.survey import words as say
from fieldtui.tui.desk import WalkDesk
from fieldtui.tui.draw_end import draw_end
from fieldtui.tui.draw_form import draw_form
from fieldtui.tui.draw_help import draw_help
from fieldtui.tui.draw_route import WIDTH as ROUTE_WIDTH
from fieldtui.tui.draw_route import draw_route
from fieldtui.tui.draw_side import draw_menu, draw_side, end_lines, menu_rows, said_rows, side_lines, told_lines
from fieldtui.tui.frame_chart import draw_frame_chart
from fieldtui.tui.lines import WIDE, Line, Lines, beside, filled, fit, rule, spread, stack, width_of, wrapped
from fieldtui.tui.menu import Menu
from fieldtui.tui.trend import draw_trend

_NARROW = 76
"""Cells; in a narrower window the section gives way to what has to be said."""
_WHOLE = 9
"""Rows above the fields; with fewer of them head and rules give way as well."""
_LEAST_CHART = 6
_LEAST_ABOUT = 5
"""Lines of what a list is about; fewer would say next to nothing."""


def draw_walk(desk: WalkDesk, width: int, height: int) -> Lines:
    """The whole page: exactly `height` lines of `width` cells."""
    if desk.mode.name == "help":
        return draw_help(desk, width, height)
    form = draw_form(desk, width)
    # in a window that is far too small the field is what must be seen, then what has to be said
    above = max(0, height - len(form))
    head = _head(desk, width) if above >= _WHOLE else []
    room = above - len(head) - (1 if head else 0)
    trend_rows = _trend_rows(desk, width, room)
    page = [*head, *_body(desk, width, room - (trend_rows + 1 if trend_rows else 0))]
    if trend_rows:
        page += _trend(desk, width, trend_rows)
    if head:
        page.append(rule("", width))
    # in a narrow window the halves side by side may be wider than it is
    whole = stack(page, width, above) if width < _NARROW else filled(page, width, above)
    return [*whole, *form[: height - above]]


def _head(desk: WalkDesk, width: int) -> Lines:
    wanted = (width, desk.mode, desk.keyboard, desk.seen.still_ahead)
    return desk.seen.kept("head", wanted, partial(_headed, desk, width))


def _call_key(desk: WalkDesk) -> str:
    """The key by which it is booked who was told; none where it is text, or does nothing."""
    acts = desk.numeric and desk.mode.menu is None and desk.step.kind != "closed"
    return desk.keyboard.numeric("call") if acts else ""


def _headed(desk: WalkDesk, width: int) -> Lines:
    walk = desk.walk
    planned = len(list(walk.route.walk()))
    read = len(desk.seen.read)
    left_out = planned - read - len(desk.seen.missing)
    practice = "PRACTICE, " if walk.practice else ""
    not_read = f", {left_out} not read" if left_out else ""
    far = f"{practice}survey {walk.label}, {read} of {planned} chords read{not_read} "
    if width_of([(walk.route.name + far, "")]) > width - 3:
        far = f"{practice}{walk.label}, {read} of {planned} read{not_read} "
    first = [(text, "head") for text, _ in spread([(f" {walk.route.name}", "head")], [(far, "head")], width)]
    calls = len(desk.seen.open_calls)
    wanted = _call_key(desk)
    key = f": {wanted}" if wanted else ""
    told: Line = [(f"■ {calls} to be told{key} ", "alarm")] if calls else []
    looked: Line = [(f"{so_far} ", "quiet")] if (so_far := desk.seen.looked_at) else []
    # how far the program is concerns nobody so much as where the hook goes
    room = width - 2 - width_of([*told, *looked])
    told += looked if width_of(_place(desk, room)) <= room else []
    place: Line = [(" ", ""), *_place(desk, width - 2 - width_of(told))]
    return [first, spread(place, told, width) if told else fit(place, width), rule("", width)]


def _place(desk: WalkDesk, width: int) -> Line:
    route, step, target = desk.walk.route, desk.step, desk.target
    if target is None:
        return [(say.prompt(route, step), "main")]
    if not target.is_chord:
        return [(say.place(target), "main")]
    station, chord = desk.walk.place(target)
    again = f", reading {target.reading}" if target.reading > 1 else ""
    tape, _ = instruments(route, desk.walk.state, target)
    parts: Line = [
        (f"chord {chord.name}{again}", "main"),
        (f" at {station.name}", ""),
        (f", {station.chainage} {route.units.large}", ""),
        (f"   hook at {chord.hook}", ""),
        (f", instrument at {chord.far}", ""),
    ]
    if tape is not None:
        parts.append((f"   tape {tape.serial}", ""))
    # in a narrow window what is known anyway gives way, whole
    for spare in (5, 2, 3):
        if width_of(parts) > width and len(parts) > spare:
            del parts[spare]
    return parts


def _right_width(width: int) -> int:
    return _without_route(width) - min(max(30, int(_without_route(width) * 0.38)), 80) - 1


def _without_route(width: int) -> int:
    return width - ROUTE_WIDTH if width >= WIDE else width


def _body(desk: WalkDesk, width: int, rows: int) -> Lines:
    if width >= WIDE:
        at_hand = _at_hand(desk, _without_route(width), width, rows)
        return beside(at_hand, draw_route(desk.seen.so_far, desk.target, rows))
    return _at_hand(desk, width, width, rows)


def _at_hand(desk: WalkDesk, room: int, width: int, rows: int) -> Lines:
    """Section and what is said, `room` cells of a window of `width`."""
    menu = desk.mode.menu
    alone = width < _NARROW and (menu is not None or _much_to_say(desk, width, rows))
    right_width = width - 1 if alone else _right_width(width)
    right = _choosing(desk, menu, right_width, rows) if menu is not None else draw_side(desk, right_width, rows)
    left: Lines = [[] for _ in range(rows)] if alone else _left(desk, room - right_width - 1, rows)
    return beside(left, right, gap=1)


def _choosing(desk: WalkDesk, menu: Menu, width: int, rows: int) -> Lines:
    """A list; below it what it is about, complete figures or the survey at its end, as much as there is room for."""
    told = told_lines(desk.told(), width) if desk.step.kind == "result" else end_lines(desk, width)
    listed = menu_rows(menu, width)
    room = rows - listed - 1
    if not told or room < min(_LEAST_ABOUT, len(told)):
        return draw_menu(menu, width, rows)
    if len(told) > room:
        told = [*told[: room - 1], [(f"▼ {len(told) - room + 1} more lines: 0 leads back to them", "notice")]]
    return stack([*draw_menu(menu, width, listed), [], *told], width, rows)


def _much_to_say(desk: WalkDesk, width: int, rows: int) -> bool:
    """Whether what has to be said wants the section's room in a narrow window."""
    said = side_lines(desk, _right_width(width))
    return len(said) > rows if said is not None else bool(desk.told())


def _left(desk: WalkDesk, width: int, rows: int) -> Lines:
    target = desk.target
    if target is not None and target.is_chord:
        return desk.seen.section(target, width, rows)
    if desk.step.kind in ("end", "closed"):
        return stack(draw_end(desk, width, rows), width, rows)
    lines = [part for line in _answers(desk) for part in _folded(line, width)]
    if len(lines) > rows > 1:
        lines = [*lines[: rows - 1], [(f" ▼ {len(lines) - rows + 1} more", "notice")]]
    return stack(lines, width, rows)


def _folded(line: Line, width: int) -> Lines:
    """A line that is too long as several, set in a little from the second on."""
    if width_of(line) <= width:
        return [line]
    text = "".join(part for part, _ in line).strip()
    first, *more = wrapped(text, width - 3, line[-1][1])
    return [[(" ", ""), *first], *([("   ", ""), *part] for part in more)]


def _answers(desk: WalkDesk) -> Lines:
    """What was answered at the start, and how the frame read."""
    state, route = desk.walk.state, desk.walk.route
    lines: Lines = []
    # in a small window there is room for the first of them alone, and what was said is known to whoever said it
    for target, booking in reversed([*state.bookings.items()]):
        if not target.is_chord and booking.finished:
            lines.append([(f" {say.place(target)}: ", "label"), (say.outcome(booking.outcome), "")])
    for what, entry in state.said.items():
        lines.append([(f" {say.short_question(what)}: ", "label"), (entry.typed or "-", "")])
    return lines or [[(f" {route.name}", "main")], [(f" {counted(len(route.stations), 'station')}", "")]]


def _trend_rows(desk: WalkDesk, width: int, room: int) -> int:
    """Lines for the plot: what has to be said about a reading goes before it."""
    target = desk.target
    if target is None or target.is_zero or desk.mode.menu is not None or room < 15:
        return 0
    left = room - said_rows(desk, _right_width(width)) - 1
    if target.is_frame:
        if not desk.seen.chart(target).points and desk.seen.frame_now(target) is None:
            return 1 if left >= 1 else 0  # says that nobody has read it yet
        # a chart shows nothing in four lines that is not said beside it
        return min(max(8, room // 3), left) if left >= _LEAST_CHART else 0
    wanted = max(4, room // 4)
    return wanted if left >= wanted else 0


def _trend_title(desk: WalkDesk, target: Target) -> str:
    if target.is_chord:
        return f"{target.chord}: movement since the start, by date"
    tape, extensometer = desk.seen.instrument(target)
    chart = desk.seen.chart(target)
    frozen = f"limits from the first {chart.size}" if chart.limits is not None else "the route's limit"
    return f"control frame with {tape} and {extensometer}, survey by survey; {frozen}"


def _trend(desk: WalkDesk, width: int, rows: int) -> Lines:
    """The plot of so many rows, below its title."""
    target = desk.target
    if target is None:
        return stack([], width, rows + 1)
    # of the figures booked so far: half a number is no reading, and what jumps with every key is not looked at
    return desk.seen.kept("plot", (target, width, rows), partial(_titled, desk, target, width, rows))


def _titled(desk: WalkDesk, target: Target, width: int, rows: int) -> Lines:
    return [rule(_trend_title(desk, target), width), *_plotted(desk, target, width, rows)]


def _plotted(desk: WalkDesk, target: Target, width: int, rows: int) -> Lines:
    route = desk.walk.route
    units = route.units
    if target.is_frame:
        limit = float(route.controls[0].limit)
        at_hand = desk.seen.frame_now(target)
        chart = desk.seen.chart(target)
        return draw_frame_chart(chart, at_hand, width, rows, limit=limit, unit=units.small, decimals=units.decimals)
    points, now = desk.seen.past(target), desk.seen.now(target)
    zone = ZoneInfo(route.time_zone)
    local = [(time.astimezone(zone), value) for time, value in points]
    here = (now[0].astimezone(zone), now[1]) if now is not None else None
    # of a plot one figure less than of a length: 0.1 mm, 0.001 in
    return draw_trend(local, here, width, rows, units.small, units.decimals - 1)
