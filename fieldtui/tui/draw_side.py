"""The right half of the walk's page: what the figures mean, cautions, choices, or a list to choose from."""

from __future__ import annotations

from fieldtui.job import Told, over_levels
from fieldtui.route import Route, Station
from fieldtui.survey import choices
from fieldtui.survey import words as say
from fieldtui.tui.desk import WalkDesk
from fieldtui.tui.lines import Line, Lines, stack, width_of, wrapped
from fieldtui.tui.menu import BACK, Menu

_LABEL = 12
SHAPES = {"notice": "▲ ", "alarm": "■ "}
"""State by shape as well as word and colour."""


def draw_side(desk: WalkDesk, width: int, rows: int) -> Lines:
    """What stands beside the section."""
    step, route = desk.step, desk.walk.route
    if desk.mode.name == "step":
        if step.kind == "say":
            return stack(_question(desk, width), width, rows)
        if step.kind == "arrive":
            station = route.station(step.what)
            return stack(_arrival(desk, station, width) if station is not None else [], width, rows)
        if step.kind in ("end", "closed"):
            return stack(_end(desk, width), width, rows)
    return stack(_told(desk, width, rows), width, rows)


def _told(desk: WalkDesk, width: int, rows: int) -> Lines:
    """What the figures mean, as much as there is room for from where the desk has turned to; the desk is told the rest.

    What is accepted must have been seen: Enter turns on while something is left over.
    """
    lines = told_lines(desk.told(), width)[desk.turned :]
    over = len(lines) > rows
    shown = max(1, rows - 1) if over else len(lines)
    desk.left_over, desk.in_sight = len(lines) - shown, shown
    return [*lines[:shown], [(f"▼ {desk.left_over} more lines: Enter shows them", "notice")]] if over else lines


def said_rows(desk: WalkDesk, width: int) -> int:
    """How many lines it takes to say what the figures at hand mean."""
    return len(told_lines(desk.told(), width))


def told_lines(told: tuple[Told, ...], width: int) -> Lines:
    """Labels in a column, texts beside them, wrapped; a notice or alarm with its shape."""
    lines: Lines = []
    for one in told:
        text = SHAPES.get(one.weight, "") + one.text
        for number, part in enumerate(wrapped(text, width - _LABEL, one.weight)):
            label = one.label if number == 0 else ""
            lines.append([(label.ljust(_LABEL), "label"), *part])
    return lines


def draw_menu(menu: Menu, width: int, rows: int) -> Lines:
    """A list with its numbers, 0 leading back; the part around the selected line where it is longer than the room."""
    every = [_item(place, item.text, item.remark, menu, width) for place, item in enumerate(menu.items)]
    if menu.selected == BACK or menu.back:
        every.insert(0, _item(BACK, "back", "", menu, width))
    at = menu.selected + 1 if len(every) > len(menu.items) else menu.selected
    room = max(1, rows - 1)
    first = max(0, min(at - room // 2, len(every) - room))
    shown = every[first : first + room]
    more = len(every) - first - len(shown)
    if more > 0:
        shown[-1] = [(f"  ▼ {more + 1} more: up/down", "notice")]
    return stack([[(menu.title, "main")], *shown], width, rows)


def _item(place: int, text: str, remark: str, menu: Menu, width: int) -> Line:
    """One line of a list, whole; what stands beside it is cut first."""
    mark, role = (">", "key") if place == menu.selected else (" ", "")
    line: Line = [(f"{mark}{place + 1:>3} ", role), (text, role)]
    return [*line, (f"  {remark}"[: max(0, width - width_of(line))], "quiet")] if remark else line


def _question(desk: WalkDesk, width: int) -> Lines:
    what = desk.step.what
    if what == "reader" and desk.seen.before:
        told = [line for text in desk.seen.before for line in wrapped(SHAPES["notice"] + text, width, "notice")]
        return [[("Of the instrument, before you begin", "main")], *told]
    if what == "cautions":
        lines: Lines = [[("Before anyone goes in", "main")]]
        for caution in say.CAUTIONS:
            lines += wrapped(f"- {caution}", width)
        return lines
    options = choices(desk.walk.route, what)
    if options:
        listed: Lines = [[(f"{place} ", "key"), (option, "")] for place, option in enumerate(options, 1)]
        return [[("Type its number or its serial", "main")], *listed]
    if what.startswith("face "):
        earlier = desk.walk.before.get(what, "")
        return [[(f"last survey: {earlier} {desk.walk.route.units.large}" if earlier else "", "quiet")]]
    return []


def _arrival(desk: WalkDesk, station: Station, width: int) -> Lines:
    lines: Lines = []
    if station.caution:
        lines += wrapped(f"{SHAPES['notice']}{station.caution}", width, "notice")
    names = ", ".join(chord.name for chord in station.chords)
    lines += wrapped(f"{len(station.chords)} chords here: {names}", width)
    lines += [[(text, "notice")] for text in _out_of_reach(desk.walk.route, station)]
    if station.note:
        lines += wrapped(station.note, width, "quiet")
    return lines


def _out_of_reach(route: Route, station: Station) -> list[str]:
    """Anchors that the pole does not reach from the floor, where the route states the reach."""
    if route.pole is None or route.standing_reach is None:
        return []
    reach = route.pole + route.standing_reach
    high = [anchor.name for anchor in station.anchors if anchor.up > reach]
    return [f"▲ platform needed for {', '.join(high)}"] if high else []


def _end(desk: WalkDesk, width: int) -> Lines:
    if desk.step.kind == "closed":
        lines: Lines = [[("The survey is closed.", "main")], [("", "")]]
        lines += wrapped("Write this code into the field book. It is the seal of the log:", width)
        lines.append([(desk.code, "main")])
        lines += wrapped(f"Log: {desk.walk.writer.path.name}", width, "quiet")
        if desk.seen.open_calls:
            untold = f"{SHAPES['alarm']}Somebody has still to be told: book it in the journal, from the start page."
            lines += wrapped(untold, width, "alarm")
        return lines
    shared = desk.seen.shared
    common = wrapped(f"{SHAPES['notice']}In common: {shared.words}", width, "notice") if shared is not None else []
    for one in desk.seen.instruments:
        common += wrapped(SHAPES[one.weight] + one.text, width, one.weight)
    over = over_levels(desk.walk)
    if not over:
        none: Line = [("No chord read in this survey is at a level.", "")]
        return [none, *common]
    lines = [*common, [("At or near a level in this survey", "main")]]
    for place, told in over:
        lines += wrapped(f"{SHAPES.get(told.weight, '')}{place}: {told.text}", width, told.weight)
    return lines
