"""One chord: plots by date and by the face, readings, laws side by side, rest, inverse velocity.

In a small window one part at a time, beside or below one another where there is room. Enter alone leafs through all.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from functools import partial
from zoneinfo import ZoneInfo

from fieldtui.movement.answer import Answer
from fieldtui.movement.glance import said
from fieldtui.movement.review import Review
from fieldtui.reduction import show_change, show_u
from fieldtui.review.chord_plots import by_face, by_inverse, by_time
from fieldtui.review.chord_table import readings_table, segment_lines
from fieldtui.review.chord_words import law_lines, rest_lines
from fieldtui.review.desk import Choice, ReviewDesk
from fieldtui.review.study import Study
from fieldtui.route import ChordKey
from fieldtui.tui.desks import Desk
from fieldtui.tui.lines import Line, Lines, beside, fit, rule, spread, stack, wrapped

PARTS = ("date", "face", "readings", "laws", "rest", "days for a unit")
_BESIDE, _ALL = 112, (160, 44)
_TEXT = 78
"""Cells for text beside a plot."""
_FEWEST = 10
"""Lines that the readings keep, however much there is to say."""
_NOTHING = "There is no baseline, or no reading from then on: nothing can be fitted."
COMPUTING = "Computing: fitting the laws to this chord's readings. Keys go on working."


class ChordDesk(ReviewDesk):
    """One chord of the glance; the order of leafing is that of its list."""

    enter_alone = "leaf on"

    def __init__(self, study: Study, key: ChordKey, part: str = PARTS[0]) -> None:
        super().__init__(study)
        self.key, self.part = key, part
        self.law = 0
        """Which of the laws that answer is drawn, 0 for none."""
        self.event = -1
        """The event from which on the laws are fitted; -1 for all readings."""
        self._asked: set[datetime | None] = set()

    # -- what is computed ------------------------------------------------------------------------------------------

    @property
    def since(self) -> datetime | None:
        """From when on readings are fitted."""
        return None if self.event < 0 else self.study.events_of(self.key)[self.event].time

    @property
    def told(self) -> Review | None:
        """What was computed, once it is."""
        return self.study.review_of(self.key, self.since)

    @property
    def _known(self) -> bool:
        return self.study.known(self.key, self.since)

    def work(self) -> Callable[[], None] | None:
        """Fit the laws, once."""
        since = self.since
        if since in self._asked or self._known:
            return None
        self._asked.add(since)

        def compute() -> None:
            self.study.compute(self.key, since, lambda: not self.done)
            # not done where help was open meanwhile: to be asked for again when it leads back
            self._asked.discard(since)

        return compute

    def _answer(self) -> Answer | None:
        drawn = self._drawable()
        return drawn[self.law - 1] if 0 < self.law <= len(drawn) else None

    def _drawable(self) -> tuple[Answer, ...]:
        told = self.told
        return tuple(one for one in told.answers if one.answers and one.fit is not None) if told is not None else ()

    # -- keys ------------------------------------------------------------------------------------------------------

    def choices(self) -> tuple[Choice, ...]:
        parts = [Choice(place, name, partial(self._turn, name)) for place, name in enumerate(PARTS, 1)]
        return (
            *parts,
            Choice(7, "draw a law", self._next_law),
            Choice(8, "next chord", lambda: self._step(1)),
            Choice(9, "before", lambda: self._step(-1)),
            Choice(10, "station", self._station),
            *([Choice(11, "fit from an event on", self._next_event)] if self.study.events_of(self.key) else []),
        )

    def alone(self) -> None:
        """The next lines of a long text, else the next part."""
        if self._longer > 0:
            self.first += self._room
        else:
            self._turn(PARTS[(PARTS.index(self.part) + 1) % len(PARTS)])

    def move(self, key: str) -> bool:
        """Right and left or + and -: another chord. Up and down: a long text. *: another law in the plot."""
        if key in ("right", "left", "+", "-"):
            self._step(1 if key in ("right", "+") else -1)
        elif key in ("up", "down", "pageup", "pagedown"):
            step = (self._room if key.startswith("page") else 1) * (-1 if key.endswith("up") else 1)
            self.first = max(0, min(self.first + step, self.first + self._longer))
        elif key == "*":
            self._next_law()
        else:
            return False
        return True

    def _turn(self, part: str) -> None:
        self.part, self.first = part, 0

    def _next_law(self) -> None:
        if not self._drawable():
            self._refuse("No law answers here, so there is none to draw.")
            return
        self.law = (self.law + 1) % (len(self._drawable()) + 1)

    def _next_event(self) -> None:
        """All readings, or those from each event on."""
        self.event = -1 if self.event + 1 >= len(self.study.events_of(self.key)) else self.event + 1
        self.law = 0

    def _step(self, step: int) -> None:
        keys = self.study.keys
        self.go(ChordDesk(self.study, keys[(keys.index(self.key) + step) % len(keys)], self.part))

    def _station(self) -> None:
        from fieldtui.review.station_page import StationDesk

        if self.study.job.route.station(self.key[0]) is None:
            self._refuse(f"The route has no station {self.key[0]} any more: no anchors to draw.")
            return
        self.go(StationDesk(self.study, self.key[0], self.key))

    def back(self) -> Desk | None:
        from fieldtui.review.route_page import RouteDesk

        return RouteDesk(self.study, self.key)

    # -- drawing ---------------------------------------------------------------------------------------------------

    def head(self) -> tuple[str, str]:
        place = self.study.keys.index(self.key) + 1
        return (
            f"chord {self.key[1]} at {self.key[0]}   {self.study.job.route.name}",
            f"{place} of {len(self.study.keys)} chords",
        )

    def body(self, width: int, height: int) -> Lines:
        top = self._told(width)
        room = max(1, height - len(top))
        self._longer = 0
        if width >= _ALL[0] and room >= _ALL[1] and len(words := self._words(_TEXT)) <= room - _FEWEST:
            return [*top, *self._everything(words, width, room)]
        if width >= _BESIDE:
            side = min(_TEXT, width // 2)
            plot = self.part if self.part in ("face", "days for a unit") else "date"
            text = self.part if self.part in ("laws", "rest") else "readings"
            gap: Lines = [[("  ", "")] for _ in range(room)]
            left = self._part(plot, width - side - 3, room)
            return [*top, *beside(beside(left, gap), self._part(text, side, room))]
        return [*top, *self._part(self.part, width, room)]

    def _words(self, width: int) -> Lines:
        """All that laws and rule say."""
        laws, rest = self._text("laws", width), self._text("rest", width)
        return [*laws, [("", "")], *rest]

    def _everything(self, words: Lines, width: int, room: int) -> Lines:
        """Two plots above one another, and all that is said beside them."""
        side = _TEXT
        left_width, half = width - side - 3, room // 2
        lower = "days for a unit" if self.part == "days for a unit" else "face"
        left = [*self._part("date", left_width, half), *self._part(lower, left_width, room - half)]
        right = [*stack(words, side, len(words)), *self._part("readings", side, room - len(words))]
        gap: Lines = [[("  ", "")] for _ in range(room)]
        return beside(beside(left, gap), right)

    def _part(self, part: str, width: int, height: int) -> Lines:
        if part == "date":
            return by_time(self.study, self.key, (self.told, self._answer()), width, height)
        if part == "face":
            return by_face(self.study, self.key, (self.told, self._answer()), width, height)
        if part == "days for a unit":
            if not self._known:
                words = _in(wrapped(COMPUTING, width - 2, "main"))
                return stack([rule("Inverse velocity, by date", width), *words], width, height)
            return by_inverse(self.study, self.told, width, height)
        return self.turned_to(self._text(part, width), width, height)

    def _text(self, part: str, width: int) -> Lines:
        title = {"readings": "Readings", "laws": "Laws side by side", "rest": "Speeding up, and rest by the rule"}[part]
        route = self.study.job.route
        lines: Lines = [rule(title, width)]
        if part == "readings":
            rows, story = self.study.rows.get(self.key, ()), self.study.job.account.stories.get(self.key)
            table = readings_table(rows, self.study.open_surveys, route, width - 2)
            return [*lines, *_in([*table, *segment_lines(story, route, width - 2)])]
        told = self.told
        if told is None:
            words = _NOTHING if self._known else COMPUTING
            return [*lines, *_in(wrapped(words, width - 2, "main"))]
        if self.event >= 0:
            one = self.study.events_of(self.key)[self.event]
            at = one.time.astimezone(ZoneInfo(route.time_zone))
            lines.append([(f" Fitted to the readings from {at:%d %b %Y}, {one.kind}, on.", "main")])
        made = law_lines(told, route, width - 2) if part == "laws" else rest_lines(told, route, width - 2)
        return [*lines, *_in(made)]

    def _told(self, width: int) -> Lines:
        """What there is to say of the chord now, above every part."""
        one, route = self.study.glance_of(self.key), self.study.job.route
        units, k = route.units, float(route.coverage_factor)
        if one.last is None:
            return [fit([(" never read", "main")], width)]
        figures = ["baseline only"]
        if one.since_baseline is not None:
            moved = one.since_baseline
            figures = [f"since start {show_change(moved.value, units)} ± {show_u(k * moved.u, units)} {units.small}"]
        if one.rate is not None:
            figures.append(
                f"rate {show_change(one.rate.value, units)} ± {show_u(k * one.rate.u, units)} {units.small}/d"
            )
        read = f"read last {one.last.astimezone(ZoneInfo(route.time_zone)):%d %b %Y} "
        states = ", ".join(said(one)) or "within its uncertainty"
        role = "alarm" if "■" in states else "notice" if "▲" in states or "overdue" in states else ""
        line: Line = [(" ", ""), (states, role)]
        return [fit([(" " + "   ".join(figures), "main")], width), spread(line, [(read, "quiet")], width)]


def _in(lines: Lines) -> Lines:
    """Lines a cell from the edge."""
    return [[(" ", ""), *line] for line in lines]
