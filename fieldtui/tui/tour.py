"""A tour for whoever walks for the first time: a few short pages before the walk, offered beside the demo job."""

from __future__ import annotations

from collections.abc import Callable

from fieldtui.job import Job
from fieldtui.survey.actions import KeyMap
from fieldtui.tui.desks import Desk
from fieldtui.tui.lines import Line, Lines, fit, rule, stack, wrapped

DEMO = "scenario.toml"
"""Lies beside the route of the demo job, and of no other."""


def is_offered(job: Job) -> bool:
    """Whether this is the demo job."""
    return job.route.path is not None and (job.route.path.parent / DEMO).is_file()


def pages(keys: KeyMap) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """A title and some sentences for each page, with the keys as they are here."""
    key = keys.numeric
    return (
        (
            "What it does",
            (
                "You go along a route, station by station. At each chord you hook the tape, read hole, dial and tape "
                "temperature, and type them. Everything is invented here: nothing you do can do harm.",
                "Every Enter writes to the disk. When the time at the lower right has changed, the entry is safe: pull "
                "the plug, start again, and you stand before the same prompt.",
            ),
        ),
        (
            "The screen, from top to bottom",
            (
                "Where you are: the chord to be read, where its hook goes, and how far the survey is.",
                "Left, the section of the tunnel, looking towards rising chainage. The chord to be read is drawn with "
                "#, its hook end with @. Right, what the figures mean: length, change, rate, level.",
                "Below, the last readings as a plot. Then the fields; the one being typed stands in brackets. The last "
                "line has the keys that are wanted here.",
            ),
        ),
        (
            "One chord",
            (
                "today.txt beside this route says what tape, dial and thermometer show. Type the hole, Enter; the dial "
                "three times, with the tape slackened and tensioned again between; the temperature. Comma and point "
                "are the same.",
                "Then look before you unhook. Enter accepts: six times Enter and the figures is a clean chord.",
            ),
        ),
        (
            "When something is wrong",
            (
                f"{key('correct')} puts the figure booked last into the field again; the first one stays in the log, "
                "struck out.",
                "Try it: type a hole that is one too low. With the last figure in, the bell rings, and the screen says "
                "what the reading looks like, how likely, and what to look at. Nothing is corrected on its own.",
                f"{key('unread')} books a chord as not read, with a reason; {key('unsafe')} does so at one key because "
                "it is unsafe. If the ground works or cracks grow: leave, and book it afterwards.",
            ),
        ),
        (
            "All the rest",
            (
                f"{key('more')} lists everything that can be done; type its number, or 0 to go back. {key('help')} is "
                f"help on every page. {key('leave')} and F10 leave; the survey waits.",
                "At the end stands the code of the log, to be written into the field book.",
                "The program records and compares. It never says that ground is safe.",
            ),
        ),
    )


class TourDesk:
    """One page at a time; Enter leafs on and after the last one back, any other key skips the rest."""

    def __init__(self, keys: KeyMap, back: Callable[[], Desk]) -> None:
        self.pages = pages(keys)
        self.page = 0
        self.bell = False
        self.done = False
        self.next: Desk | None = None
        self._back = back

    def press(self, key: str, character: str | None) -> None:
        """Enter or down: on; up: the page before; F10 out of the program; any other key ends the tour."""
        if key == "f10":
            self.done = True
        elif key in ("up", "pageup"):
            self.page = max(0, self.page - 1)
        elif key in ("enter", "down", "pagedown") and self.page + 1 < len(self.pages):
            self.page += 1
        else:
            self.next, self.done = self._back(), True

    def paste(self, text: str) -> None:
        """Nothing is asked here."""

    def draw(self, width: int, height: int) -> Lines:
        """The page: exactly `height` lines of `width` cells."""
        title, sentences = self.pages[self.page]
        columns = min(width - 2, 76)
        lines: Lines = [[("", "")], [(f" {title}", "main")]]
        for sentence in sentences:
            lines += [[("", "")], *([(" ", ""), *line] for line in wrapped(sentence, columns))]
        head: Line = fit([(f" A tour, page {self.page + 1} of {len(self.pages)}".ljust(width), "head")], width)
        last = self.page + 1 == len(self.pages)
        foot: Line = [(" Enter: " + ("to the surveys" if last else "next page") + "   any other key: skip it", "key")]
        return stack([*stack([head, *lines], width, height - 2), rule("", width), foot], width, height)
