"""The right half of the walk's page: what the figures mean, cautions, choices, or a list to choose from."""

from __future__ import annotations

from functools import partial

from fieldtui.counted import counted
from fieldtui.job import Told, log_code, over_levels
from fieldtui.route import Station
from fieldtui.survey import choices
from fieldtui.survey import words as say
from fieldtui.survey.chord_time import chord_times, pace_words
from fieldtui.tui.desk import WalkDesk
from fieldtui.tui.large import large
from fieldtui.tui.lines import Line, Lines, stack, width_of, wrapped
from fieldtui.tui.menu import BACK, Menu

_LABEL = 12
_NUMBER = 5
_BY_ENTER = "Enter shows them"
SHAPES = {"notice": "▲ ", "alarm": "■ "}
"""State by shape as well as word and colour."""


def draw_side(desk: WalkDesk, width: int, rows: int) -> Lines:
    """What stands beside the section: as much as there is room for, from where the desk has turned to."""
    said = side_lines(desk, width)
    if said is not None:
        return stack(desk.turning.part(said, width, rows, _BY_ENTER), width, rows)
    return stack(_told(desk, width, rows), width, rows)


def side_lines(desk: WalkDesk, width: int) -> Lines | None:
    """All that is said at a prompt that asks for no figure; None where figures are talked of."""
    step, route = desk.step, desk.walk.route
    if desk.mode.name != "step":
        return None
    if step.kind == "say":
        return _question(desk, width)
    if step.kind == "arrive":
        station = route.station(step.what)
        return _arrival(desk, station, width) if station is not None else []
    return end_lines(desk, width) if step.kind in ("end", "closed") else None


def _told(desk: WalkDesk, width: int, rows: int) -> Lines:
    """What the figures mean, as much as there is room for from where the desk has turned to; large below it, the
    figure that matters.
    """
    lines = desk.turning.part(said_lines(desk, width), width, rows, _how_shown(desk))
    label, figure = _matters(desk)
    digits = large(figure, width - 1)
    space = rows - len(lines) - len(digits) - 2
    if not digits or space < 0:
        return lines
    # always at the same place, whatever is said above it
    return [*lines, *[[] for _ in range(space + 1)], [(label, "label")], *digits]


def _how_shown(desk: WalkDesk) -> str:
    """How what there is no room for comes on the screen: at a prompt for a figure Enter does something else."""
    if desk.slot:
        return "shown when all figures are in"
    return _BY_ENTER if desk.mode.name == "step" else ""


def _matters(desk: WalkDesk) -> tuple[str, str]:
    """The figure being typed; when all are in, the change since last."""
    if desk.slot:
        return say.SLOTS.get(desk.slot, desk.slot), desk.field.text
    change = next((one.text for one in desk.told() if one.label == "since last"), "")
    return f"since last, {desk.walk.route.units.small}", change.split(" ")[0]


def said_rows(desk: WalkDesk, width: int) -> int:
    """How many lines it takes to say what the figures at hand mean."""
    return len(said_lines(desk, width))


def said_lines(desk: WalkDesk, width: int) -> Lines:
    """What the figures at hand mean. Kept: a page asks first how many lines that takes."""
    told = desk.told()
    return desk.seen.kept("told", (told, width), partial(told_lines, told, width))


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
    every = _every(menu, width)
    at = menu.selected + 1 if len(every) > len(menu.items) else menu.selected
    title = wrapped(menu.title, width, "main")[: max(1, rows - 3)]
    room = max(1, rows - len(title))
    first, end = _around(at, [len(item) for item in every], room)
    shown = [line for item in every[first:end] for line in item]
    if end < len(every):
        shown = [*shown[: room - 1], [(f"  ▼ {len(every) - end} more: down or + shows them", "notice")]]
    return stack([*title, *shown], width, rows)


def menu_rows(menu: Menu, width: int) -> int:
    """How many lines a list takes that is shown whole, its title among them."""
    return len(wrapped(menu.title, width)) + sum(len(item) for item in _every(menu, width))


def _every(menu: Menu, width: int) -> list[Lines]:
    every = [_item(place, item.text, item.remark, menu, width) for place, item in enumerate(menu.items)]
    if menu.selected == BACK or menu.back:
        every.insert(0, _item(BACK, menu.out, "", menu, width))
    return every


def _around(at: int, heights: list[int], room: int) -> tuple[int, int]:
    """The items to show, from one to before another: about half of the room before the one at hand, none cut in two."""
    if sum(heights) <= room:
        return 0, len(heights)
    room -= 1  # for the line that counts the others
    first, end, used = at, min(at + 1, len(heights)), sum(heights[at : at + 1])
    while first > 0 and used + heights[first - 1] <= max(room // 2, heights[0]):
        first, used = first - 1, used + heights[first - 1]
    while end < len(heights) and used + heights[end] <= room + (end == len(heights) - 1):
        end, used = end + 1, used + heights[end]
    room += end == len(heights)
    while first > 0 and used + heights[first - 1] <= room:
        first, used = first - 1, used + heights[first - 1]
    return first, end


def _item(place: int, text: str, remark: str, menu: Menu, width: int) -> Lines:
    """One entry of a list, whole, in as many lines as it takes; what stands beside it is cut first."""
    mark, role = (">", "key") if place == menu.selected else (" ", "")
    first, *rest = wrapped(text, width - _NUMBER, role)
    line: Line = [(f"{mark}{place + 1:>3} ", role), *first]
    if remark and not rest:
        line.append((f"  {remark}"[: max(0, width - width_of(line))], "quiet"))
    return [line, *([(" " * _NUMBER, ""), *part] for part in rest)]


def _question(desk: WalkDesk, width: int) -> Lines:
    what = desk.step.what
    if what == "reader" and desk.seen.before:
        told = [line for text in desk.seen.before for line in wrapped(SHAPES["notice"] + text, width, "notice")]
        return [*wrapped("Of the instrument, before you begin", width, "main"), *told]
    if what == "cautions":
        lines: Lines = [[("Before anyone goes in", "main")]]
        for caution in say.CAUTIONS:
            lines += wrapped(f"- {caution}", width)
        return lines
    options = choices(desk.walk.route, what)
    if options:
        listed: Lines = [[(f"{place} ", "key"), (option, "")] for place, option in enumerate(options, 1)]
        return [*wrapped("Type its number or its serial", width, "main"), *listed]
    if what.startswith("face "):
        earlier = desk.walk.before.get(what, "")
        return [[(f"last survey: {earlier} {desk.walk.route.units.large}" if earlier else "", "quiet")]]
    return []


def _arrival(desk: WalkDesk, station: Station, width: int) -> Lines:
    lines: Lines = []
    if station.caution:
        lines += wrapped(f"{SHAPES['notice']}{station.caution}", width, "notice")
    names = ", ".join(chord.name for chord in station.chords)
    lines += wrapped(f"{counted(len(station.chords), 'chord')} here: {names}", width)
    if needed := say.platform_needed(desk.walk.route, station):
        lines += wrapped(SHAPES["notice"] + needed, width, "notice")
    if station.note:
        lines += wrapped(station.note, width, "quiet")
    return lines


def end_lines(desk: WalkDesk, width: int) -> Lines:
    """What is said of the survey at its end, and of its log once it is closed; nothing before."""
    if desk.step.kind not in ("end", "closed"):
        return []
    pace = pace_words(chord_times(desk.walk.state))
    took = wrapped(pace, width, "quiet") if pace else []
    if desk.step.kind == "closed":
        lines: Lines = [[("The survey is closed.", "main")], [("", "")]]
        lines += wrapped("Write this code into the field book. It is the seal of the log:", width)
        lines.append([(log_code(desk.walk), "main")])
        lines += wrapped(f"Log: {desk.walk.writer.path.name}", width, "quiet") + took
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
        none = "No chord read in this survey is at a level." if desk.seen.read else "No chord was read in this survey."
        return [*wrapped(none, width), *common, *took]
    lines = [*common, *wrapped("At or near a level in this survey", width, "main")]
    for place, told in over:
        lines += wrapped(f"{SHAPES.get(told.weight, '')}{place}: {told.text}", width, told.weight)
    return [*lines, *took]
