"""A station: its section with the anchors' displacements as arrows, and the figures; between any two surveys."""

from __future__ import annotations

from collections.abc import Callable

from fieldtui.movement.arrows import HELD, displacement_lines, draw_arrows, residual_lines
from fieldtui.movement.displacement import NoDisplacements
from fieldtui.movement.station import StationMoved
from fieldtui.review.desk import Choice, ReviewDesk
from fieldtui.review.study import Study
from fieldtui.route import ChordKey, Station
from fieldtui.tui.desks import Desk
from fieldtui.tui.lines import Lines, beside, fit, rule, stack, wrapped

_BESIDE = 112
_TEXT = 76
PARTS = ("section", "figures")
COMPUTING = "Computing: displacements of the anchors. Keys go on working."


class StationDesk(ReviewDesk):
    """Displacements of the anchors of one station. `key` is the chord that it was opened from."""

    enter_alone = "leaf on"

    def __init__(self, study: Study, station: str, key: ChordKey | None = None) -> None:
        super().__init__(study)
        self.key = key
        self.part = PARTS[0]
        self.station = self._named(station)
        self.surveys = study.surveys_of(self.station)
        self.later = self.earlier = ""
        """Labels of surveys; empty: the newest, and the first that read the same chords."""
        self._asked: set[tuple[str, str]] = set()

    def work(self) -> Callable[[], None] | None:
        """The displacements between the two surveys, once."""
        asked = (self.later, self.earlier)
        if asked in self._asked or self.study.moved_of(self.station, *asked) is not None:
            return None
        self._asked.add(asked)

        def compute() -> None:
            self.study.compute_anchors(self.station, *asked)

        return compute

    def _named(self, name: str) -> Station:
        found = self.study.job.route.station(name)
        if found is None:
            raise ValueError(f"the route has no station {name}")
        return found

    def choices(self) -> tuple[Choice, ...]:
        return (
            Choice(1, "section", lambda: self._turn(PARTS[0])),
            Choice(2, "figures", lambda: self._turn(PARTS[1])),
            Choice(3, "end: survey before", lambda: self._later(-1)),
            Choice(4, "after", lambda: self._later(1)),
            Choice(5, "begin: survey before", lambda: self._earlier(-1)),
            Choice(6, "after", lambda: self._earlier(1)),
            Choice(8, "next station", lambda: self._step(1)),
            Choice(9, "before", lambda: self._step(-1)),
        )

    def alone(self) -> None:
        """More of the figures, else the other part."""
        if self._longer > 0:
            self.first += self._room
        else:
            self._turn(PARTS[1 - PARTS.index(self.part)])

    def move(self, key: str) -> bool:
        """Right and left or + and -: another station. Up and down: the figures."""
        if key in ("right", "left", "+", "-"):
            self._step(1 if key in ("right", "+") else -1)
        elif key in ("up", "down"):
            self.first = max(0, min(self.first + (1 if key == "down" else -1), self.first + self._longer))
        else:
            return False
        return True

    def _turn(self, part: str) -> None:
        self.part, self.first = part, 0

    def _step(self, step: int) -> None:
        names = [station.name for station in self.study.stations()]
        at = names.index(self.station.name) if self.station.name in names else 0
        self.go(StationDesk(self.study, names[(at + step) % len(names)], None))

    def _later(self, step: int) -> None:
        self.later = self._moved_on(self.study.compute_anchors(self.station, self.later, self.earlier).later, step)

    def _earlier(self, step: int) -> None:
        self.earlier = self._moved_on(self.study.compute_anchors(self.station, self.later, self.earlier).earlier, step)

    def _moved_on(self, label: str, step: int) -> str:
        if label not in self.surveys:
            self._refuse("No two surveys have read this station.")
            return ""
        place = self.surveys.index(label) + step
        if not 0 <= place < len(self.surveys):
            self._refuse("There is no further survey that way.")
            return label
        return self.surveys[place]

    def back(self) -> Desk | None:
        from fieldtui.review.chord_page import ChordDesk
        from fieldtui.review.route_page import RouteDesk

        own = next((key for key in self.study.keys if key[0] == self.station.name), None)
        return ChordDesk(self.study, self.key) if self.key is not None else RouteDesk(self.study, own)

    def head(self) -> tuple[str, str]:
        names = [station.name for station in self.study.stations()]
        place = f"{names.index(self.station.name) + 1} of {len(names)} stations" if self.station.name in names else ""
        units = self.study.job.route.units
        left = (
            f"station {self.station.name}, {self.station.chainage} {units.large}: anchors   {self.study.job.route.name}"
        )
        return left, place

    def body(self, width: int, height: int) -> Lines:
        self._longer = 0
        if width >= _BESIDE:
            gap: Lines = [[("  ", "")] for _ in range(height)]
            side = min(_TEXT, width // 2)
            drawing = self._section(width - side - 3, height)
            return beside(beside(drawing, gap), self._figures(side, height))
        return self._section(width, height) if self.part == "section" else self._figures(width, height)

    def _moved(self) -> StationMoved | None:
        """What was computed, once it is."""
        return self.study.moved_of(self.station, self.later, self.earlier)

    def _section(self, width: int, height: int) -> Lines:
        route, moved = self.study.job.route, self._moved()
        if moved is None:
            return _waiting(width, height)
        title = f"{moved.earlier or '-'} to {moved.later or '-'}, towards rising chainage"
        drawn = draw_arrows(moved, route.units, float(route.coverage_factor), width, max(1, height - 2))
        return stack([rule(title, width), *drawn, fit([(_split(moved, width), "quiet")], width)], width, height)

    def _figures(self, width: int, height: int) -> Lines:
        route, moved = self.study.job.route, self._moved()
        if moved is None:
            return _waiting(width, height)
        lines = [*displacement_lines(moved, route, width - 2), [("", "")], *residual_lines(moved, route, width - 2)]
        inside: Lines = [[(" ", ""), *line] for line in lines]
        title = rule("Displacements of the anchors", width)
        return self.turned_to([title, *inside], width, height)


def _split(moved: StationMoved, width: int) -> str:
    """What is assumed, in a line below the drawing; in a narrow one no less, in fewer words."""
    if isinstance(moved.found, NoDisplacements):
        return ""
    held = f" {HELD} held as unmoved." if moved.found.fixed else ""
    told = f"{held} How a closure is split is assumed: see the figures."
    return told if len(told) <= width else f"{held} The split is assumed."


def _waiting(width: int, height: int) -> Lines:
    lines = wrapped(COMPUTING, width - 2, "main")
    return stack([rule("Anchors", width), *([(" ", ""), *line] for line in lines)], width, height)
