"""What a planned layout will see, on the screen: alone, or two side by side with ellipses to one scale."""

from __future__ import annotations

from collections.abc import Callable

from fieldtui.laying.layouts import LAYOUTS
from fieldtui.laying.plan import Plan
from fieldtui.laying.preview import instruments, with_layout
from fieldtui.movement.ellipses import draw_ellipses, sight_lines
from fieldtui.movement.sight import Sight, sight
from fieldtui.route import Route
from fieldtui.tui.desks import Desk
from fieldtui.tui.help_desk import PagesDesk, asks_for_help
from fieldtui.tui.lines import Lines, beside, fit, rule, spread, stack

_NARROW = 34
_PURPOSE = (
    "What the planned chords will tell of each anchor: its ellipse at the route's coverage factor, the smallest "
    "movement that a chord shows for sure, and movements that show in none. Nothing is decided here; the question "
    "comes again."
)


class SightDesk:
    """One column for each layout. Enter and down turn on, up back; Esc and 0 lead to the question."""

    def __init__(self, plan: Plan, at: str, others: tuple[str, ...], back: Callable[[], Desk]) -> None:
        given = plan.given
        layouts = (given[f"{at}.layout"], *others)
        self.names = [LAYOUTS[one] for one in layouts]
        self.route: Route = instruments(given, plan.existing)
        self.seen: tuple[Sight, ...] = tuple(sight(self.route, with_layout(given, at, one)) for one in layouts)
        self.title = plan.path.name
        self.first, self._room, self._longest = 0, 1, 0
        self.bell = self.done = False
        self.next: Desk | None = None
        self._back = back

    def _help(self) -> PagesDesk:
        keys = [("Enter, down", "further on"), ("up", "back up"), ("0, Esc", "back to the question")]
        return PagesDesk("Help: what a layout will see", [("What this page is for", _PURPOSE)], keys, self._here)

    def _here(self) -> Desk:
        self.done, self.next = False, None
        return self

    def press(self, key: str, character: str | None) -> None:
        if asks_for_help(key, character, typing=False):
            self.next, self.done = self._help(), True
        elif key == "escape" or character == "0":
            self.next, self.done = self._back(), True
        elif key == "f10":
            self.done = True
        elif key in ("enter", "down", "pagedown"):
            step = 1 if key == "down" else self._room
            self.first = min(self.first + step, max(0, self._longest - self._room))
        elif key in ("up", "pageup"):
            self.first = max(0, self.first - (1 if key == "up" else self._room))

    def paste(self, text: str) -> None: ...

    def draw(self, width: int, height: int) -> Lines:
        """The page: exactly `height` lines of `width` cells."""
        left = f" {self.title}: what {'it' if len(self.seen) == 1 else 'each'} will see"
        head = [(text, "head") for text, _ in spread([(left, "head")], [("before a hole is drilled ", "head")], width)]
        rows = height - 3
        body = self._alone(width, rows) if len(self.seen) == 1 else self._pair(width, rows)
        rest = self._longest - self._room - self.first
        more = f"▼ {rest} more: Enter. " if rest > 0 else "▲ the end of it; up leads back. " if self.first else ""
        foot = [
            rule("", width),
            fit([(f" {more}", "key"), ("Esc or 0: back to the question. ?: help.", "quiet")], width),
        ]
        return stack([head, *body, *foot], width, height)

    def _alone(self, width: int, rows: int) -> Lines:
        left = max(_NARROW, width // 2 - 2)
        drawn = draw_ellipses(self.seen[0], self.route, left, rows)
        return beside(
            drawn, self._told([sight_lines(self.seen[0], self.route, width - left - 1)], width - left, rows)[0]
        )

    def _pair(self, width: int, rows: int) -> Lines:
        columns = width // 2 - 1
        high = max(8, rows // 2)
        longest = max((one.largest.long for one in self.seen if one.largest is not None), default=0.0)
        drawn = [
            [
                fit([(name, "main")], columns + 1),
                *(fit(line, columns + 1) for line in draw_ellipses(one, self.route, columns, high - 1, longest)),
            ]
            for name, one in zip(self.names, self.seen, strict=True)
        ]
        texts = self._told([sight_lines(one, self.route, columns) for one in self.seen], columns + 1, rows - high)
        return [*beside(drawn[0], drawn[1]), *beside(texts[0], texts[1])]

    def _told(self, texts: list[Lines], width: int, rows: int) -> list[Lines]:
        """As much of the texts as there is room for, from where they have been turned to."""
        self._room, self._longest = rows, max(len(text) for text in texts)
        return [stack(text[self.first : self.first + rows], width, rows) for text in texts]
