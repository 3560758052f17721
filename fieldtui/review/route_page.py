"""The route at a glance: one line a chord, what matters most first; the chosen chord's plot beside it where it fits."""

from __future__ import annotations

from collections.abc import Sequence

from fieldtui.counted import counted
from fieldtui.job.due_told import due_lines, due_sentence
from fieldtui.movement.chart import draw_chart
from fieldtui.movement.charts import face_chart, time_chart
from fieldtui.movement.glance import Glance, glance_lines
from fieldtui.review.desk import Choice, ReviewDesk
from fieldtui.review.study import Study
from fieldtui.route import ChordKey
from fieldtui.tui.desks import Desk
from fieldtui.tui.lines import Lines, beside, fit, rule, stack, wrapped

_LIST, _LEAST_PLOT = 96, 39
"""Cells for the list where a plot stands beside it, and for that plot at least."""
_BESIDE = 118
_TWO_PLOTS = 34
_SHOWN = 14
"""So many lines below the list are room for a plot."""
_BELOW = "Below a level means below the numbers that the route states, and nothing about the ground."


class RouteDesk(ReviewDesk):
    """Which chords are at a level, speed up, move, are due."""

    enter_alone = "open the marked chord"

    def __init__(self, study: Study, key: ChordKey | None = None) -> None:
        super().__init__(study)
        self.selected = study.keys.index(key) if key in study.keys else 0
        self._room = 8

    def choices(self) -> tuple[Choice, ...]:
        return (Choice(1, f"to {len(self.study.keys)}: open a chord", self.alone),) if self.study.keys else ()

    def pick(self, number: int) -> None:
        """Open the chord with that number in the list."""
        if number > len(self.study.keys):
            self._refuse(f"There is no chord {number}: 1 to {len(self.study.keys)}.")
        else:
            self._open(number - 1)

    def alone(self) -> None:
        """Open the marked one."""
        if self.study.keys:
            self._open(self.selected)

    def _open(self, place: int) -> None:
        from fieldtui.review.chord_page import ChordDesk

        self.go(ChordDesk(self.study, self.study.keys[place]))

    def move(self, key: str) -> bool:
        """Up and down, or minus and plus of the number pad."""
        step = {"up": -1, "down": 1, "-": -1, "+": 1, "pageup": -self._room, "pagedown": self._room}.get(key)
        if step is None:
            return False
        self.selected = max(0, min(len(self.study.keys) - 1, self.selected + step))
        return True

    def back(self) -> Desk | None:
        return self.study.back() if self.study.back is not None else None

    def head(self) -> tuple[str, str]:
        return f"{self.study.job.route.name}: what has moved", counted(len(self.study.keys), "chord")

    def body(self, width: int, height: int) -> Lines:
        if width >= _BESIDE:
            gap: Lines = [[(" │ ", "quiet")] for _ in range(height)]
            listed = min(_LIST, width - _LEAST_PLOT - 3)
            left = stack([*self._list(listed, height), [("", "")], *self._due(listed)], listed, height)
            return beside(beside(left, gap), self._plots(width - listed - 3, height))
        below = height - 4 - len(self.study.keys) - 2
        if below < _SHOWN:
            return self._list(width, height)
        above = height - below
        return [*stack(self._list(width, above), width, above), *self._plots(width, below)]

    def _list(self, width: int, height: int) -> Lines:
        found, route = self.study.glances, self.study.job.route
        about = [*wrapped(summary(found), width - 2, "main"), *wrapped(due_sentence(self.study.due), width - 2)]
        lines: Lines = [[(" ", ""), *line] for line in about]
        notes = [rule(f"{route.units.small}, negative is closing, ± with k = {route.coverage_factor}", width)]
        head, *rows = glance_lines(found, route, width - 2)
        last = [[(" ", ""), *line] for line in wrapped(_BELOW, width - 2, "quiet")]
        self._room = max(1, height - len(lines) - len(notes) - 1 - len(last))
        first = max(0, min(self.selected - self._room // 2, len(rows) - self._room))
        shown: Lines = []
        for place, row in list(enumerate(rows))[first : first + self._room]:
            shown.append([("> " if place == self.selected else "  ", "key"), *row])
        hidden = len(rows) - first - len(shown)
        if hidden > 0 and shown:
            last = [fit([(f" ▼ {hidden} more chords: down, or + on the number pad", "notice")], width)]
        if not rows:
            shown = [[(" No chord is walked on this route.", "")]]
        return [*lines, *notes, [("  ", ""), *head], *shown, *last]

    def _due(self, width: int) -> Lines:
        """What has to be read, for the room that a short list leaves."""
        told = due_lines(self.study.due, self.study.job.route, self.study.now, self.study.open_calls)
        parts = [(len(line) - len(line.lstrip()), part) for line in told for part in wrapped(line.strip(), width - 6)]
        return [rule("What has to be read", width), *([(" " * (1 + indent), ""), *part] for indent, part in parts)]

    def _plots(self, width: int, height: int) -> Lines:
        """The marked chord against time; against the face too where there is room for both."""
        if not self.study.keys:
            return stack([], width, height)
        key, job = self.study.keys[self.selected], self.study.job
        upper = height // 2 if height >= _TWO_PLOTS else height
        drawn = [rule(f"{key[1]} at {key[0]}: movement by date", width)]
        drawn += draw_chart(time_chart(job, key, width), width, upper - 1)
        if upper < height:
            drawn.append(rule("by distance from the face", width))
            drawn += draw_chart(face_chart(job, key, self.study.faces, width), width, height - upper - 1)
        return stack(drawn, width, height)


def summary(every: Sequence[Glance]) -> str:
    """How many chords are how, in one sentence; those that are not read any more by their number alone."""
    found = [one for one in every if not one.gone]
    above = sum(one.severity > 0 and one.level is not None and one.level.state == "above" for one in found)
    unsure = sum(one.severity > 0 for one in found) - above
    told = [
        f"■ {above} above a level" if above else "none above a level",
        f"▲ {unsure} where it cannot be told" if unsure else "",
        f"▲ {sum(one.speeding_up for one in found)} speeding up" if any(one.speeding_up for one in found) else "",
        f"{sum(one.moving for one in found)} clearly moving",
        f"{sum(one.last is None for one in found)} never read" if any(one.last is None for one in found) else "",
        f"{len(every) - len(found)} not read any more" if len(found) < len(every) else "",
    ]
    return f"Chords: {', '.join(part for part in told if part)}."
