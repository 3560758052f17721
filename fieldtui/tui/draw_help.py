"""Help for the walk: what the screen is for, what each key does, what the words mean. Made from the action table."""

from __future__ import annotations

from fieldtui.survey import words as say
from fieldtui.tui.desk import WalkDesk
from fieldtui.tui.help_desk import leafed, told
from fieldtui.tui.lines import Lines, wrapped

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


_HERE = {
    "say": "A question about the whole survey. Enter takes what stands in the field; it can be answered anew later.",
    "arrive": "A station is reached: look at its caution and at what is needed here. Enter when you stand there.",
    "figure": "A figure as the instrument shows it, nothing added or left out. A comma is a point. Enter books it.",
    "result": "All figures are in: look at what they mean before you unhook. Enter accepts, or shows what can be done.",
    "end": "The end of the survey. Enter shows what can be done: what is missing, closing, leaving it open.",
    "closed": "The survey is closed. Write the code into the field book; Enter shows how to copy the log.",
}


def draw_help(desk: WalkDesk, width: int, height: int) -> Lines:
    """One page of help; the page counter runs round."""
    lines = told([("At this prompt", _HERE[desk.step.kind]), *_TEXTS], (), width - 1)
    lines.append([("Keys (number pad, letter, function key)", "main")])
    for action in desk.keyboard.actions:
        first, *rest = wrapped(action.help, width - 28)
        lines.append([(action.keys.ljust(12), "key"), (action.label.ljust(13), "label"), *first])
        lines += [[(" " * 25, ""), *line] for line in rest]
    lines.append([("", "")])
    lines.append([("Cautions", "main")])
    for caution in say.CAUTIONS:
        lines += wrapped(f"- {caution}", width - 2)
    return leafed(" Help", lines, desk.page, width, height)
