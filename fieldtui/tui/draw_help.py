"""Help for the walk: what the screen is for, what each key does, what the words mean. Made from the action table."""

from __future__ import annotations

from fieldtui.survey import words as say
from fieldtui.tui.desk import WalkDesk
from fieldtui.tui.lines import Lines, rule, stack, wrapped

_TEXTS = (
    (
        "What this screen is for",
        "It walks you along the route. At each chord you book the hole, three dial readings and the tape temperature; "
        "slacken and tension the tape again between the three. Every Enter writes to the disk before the time of "
        "saving changes. If the laptop dies, you come back to the same prompt.",
    ),
    (
        "What the figures mean",
        "length: hole distance, dial and temperature correction, with its expanded uncertainty. since last and since "
        "start: change of length, negative is closing. rate: per day, negative is closing. level: the value against "
        "the numbers that the route states; “cannot tell” is to be told like “above”. Below a number is no word about "
        "the ground: that is for the responsible engineer.",
    ),
)


def draw_help(desk: WalkDesk, width: int, height: int) -> Lines:
    """One page of help; the page counter runs round."""
    lines: Lines = []
    for title, text in _TEXTS:
        lines.append([(title, "main")])
        lines += wrapped(text, width - 2)
        lines.append([("", "")])
    lines.append([("Keys (number pad, letter, function key)", "main")])
    for action in desk.keyboard.actions:
        first, *rest = wrapped(action.help, width - 28)
        lines.append([(action.keys.ljust(12), "key"), (action.label.ljust(13), "label"), *first])
        lines += [[(" " * 25, ""), *line] for line in rest]
    lines.append([("", "")])
    lines.append([("Cautions", "main")])
    for caution in say.CAUTIONS:
        lines += wrapped(f"- {caution}", width - 2)
    room = max(1, height - 3)
    pages = max(1, -(-len(lines) // room))
    page = desk.page % pages
    body = stack([[(" ", ""), *line] for line in lines[page * room : (page + 1) * room]], width, room)
    foot = f" page {page + 1} of {pages}   Enter: next page   Esc: back to the walk"
    head = [(" Help".ljust(width), "head")]
    return stack([head, *body, rule("", width), [(foot, "key")]], width, height)
