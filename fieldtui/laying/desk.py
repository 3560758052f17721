"""The pages of laying: a question with the section beside it; at the end the advice, and the file written.

    LayDesk (a question) ──► LayDesk (the next) … ──► WriteDesk ──► WrittenDesk
       └── SightDesk: what the layout sees, alone or beside another

Esc and 0 go back by one question, at any time; the answer stands in the field again.
"""

from __future__ import annotations

from functools import partial

from fieldtui.counted import counted
from fieldtui.job import job_to_walk
from fieldtui.laying.layouts import LAYOUTS
from fieldtui.laying.plan import Plan
from fieldtui.laying.preview import other_layouts, section_so_far
from fieldtui.laying.questions import part_of
from fieldtui.route import RouteRefused, Station
from fieldtui.route.advice import advice
from fieldtui.route.section import draw_section
from fieldtui.tui.draw_form import field_cells
from fieldtui.tui.draw_side import draw_menu, menu_rows
from fieldtui.tui.field import Field
from fieldtui.tui.lines import Lines, beside, fit, rule, spread, stack, wrapped
from fieldtui.tui.list_desk import ListDesk
from fieldtui.tui.menu import BACK, Item, Menu
from fieldtui.tui.start import StartDesk

_SHOWN = 5
_LEFT = 44
"""Cells for the text beside a section."""


class PlanDesk(ListDesk):
    """A page of a plan: text at the left, the section that is being laid at the right."""

    purpose = (
        "Lays a route, one question after another. Your answers are kept as a draft after each; Esc goes "
        "back, as far as you like, and 0 in a list. What is only a start is marked so in the file."
    )

    signed = True  # a distance to the right, a chainage

    def __init__(self, plan: Plan, part: str, question: str, told: str = "") -> None:
        super().__init__(f"{plan.path.name}: {part}", [], (), question)
        self.plan = plan
        self.lines: Lines = []
        self.text = question
        self.section: Station | None = section_so_far(plan.given)
        self.message, self.refused, self.bell = told, bool(told), bool(told)
        if plan.draft.answers:
            self.back = self.before

    def before(self) -> ListDesk:
        """The question before this one."""
        plan, told = self.plan.back()
        return next_desk(plan, told)

    def enter(self) -> None:
        typed, self.field = self.field.text, Field()
        item = self.menu.pick(typed)
        if item is not None:
            item.choose()
        elif self.plan.draft.answers:
            self.go(self.before())

    def draw(self, width: int, height: int) -> Lines:
        """The page: exactly `height` lines of `width` cells."""
        count = len(self.plan.draft.answers)
        head = spread([(f" {self.title}", "head")], [(f"{counted(count, 'answer')}, kept as a draft ", "head")], width)
        asked = (
            "Type it and press Enter. F1: help." if self.wide else "Type a number and press Enter. ? or point: help."
        )
        shown = self.message or f"{asked} {'Esc: back. ' if self.back else ''}F10: leave, the draft stays."
        role = "alarm" if self.refused else "quiet"
        said = [[(" ", ""), *line] for line in wrapped(shown, width - 2, role)][: 5 if self.refused else 2]
        cells = min(60, width - 4) if self.wide else 6
        foot = [rule("", width), fit([(" [", "main"), *field_cells(self.field, cells), ("]", "main")], width), *said]
        rows = max(1, height - 1 - len(foot))
        return stack([[(text, "head") for text, _ in head], *self._body(width, rows), *foot], width, height)

    def _body(self, width: int, rows: int) -> Lines:
        right = min(width - _LEFT - 2, 60) if self.section is not None else 0
        left = width - right
        text = [[(" ", ""), *line] for line in [*self.lines, *self._asked(left - 2, rows)]]
        over = min(max(0, len(text) - rows), len(self.lines))
        if over:
            text = [[(f" … {over + 1} more lines above: a larger window shows them", "notice")], *text[over + 1 :]]
        shown = stack(text, left, rows)
        if self.section is None:
            return shown
        newest = self.section.chords[-1] if self.section.chords else None
        drawn = draw_section(self.section, newest if self._by_chord else None, right, rows)
        return beside(shown, [fit(line, right) for line in drawn])

    @property
    def _by_chord(self) -> bool:
        """Whether chords are being named one by one: the newest is drawn heavy."""
        return bool(self.plan.draft.answers) and ".chord." in self.plan.draft.answers[-1][0]

    def _asked(self, width: int, rows: int) -> Lines:
        asked = wrapped(self.text, width, "main")
        if not self.menu.items:
            return asked
        self.cut = menu_rows(self.menu, width) > rows - len(asked)
        menu = draw_menu(self.menu, width, min(rows - len(asked), menu_rows(self.menu, width) + 1))
        return [*asked, *menu[1:]]


class LayDesk(PlanDesk):
    """One question."""

    def __init__(self, plan: Plan, told: str = "") -> None:
        ask = plan.next_ask()
        if ask is None:
            raise ValueError("nothing is left to ask")
        self.ask, part = ask, part_of(ask.key)
        super().__init__(plan, part, ask.text, told)
        answers = [f"{text}: {value}" for key, text, value in plan.told() if part_of(key) == part]
        self.lines = [line for text in answers[-_SHOWN:] for line in wrapped(text, _LEFT, "quiet")]
        earlier = plan.draft.earlier.get(ask.key)
        if ask.options:
            values = [value for value, _ in ask.options]
            items = [Item(words, partial(self._answer, value)) for value, words in ask.options]
            if ask.key.endswith(".taken"):
                items += self._looks(ask.key.rpartition(".")[0])
            self.menu = Menu(ask.text, tuple(items), values.index(earlier) if earlier in values else 0)
        else:
            self.wide = True
            self.field = Field.of(earlier if earlier is not None else ask.default)

    def enter(self) -> None:
        if self.wide:
            self._answer(self.ask.taken(self.field.text))
        else:
            super().enter()

    def _answer(self, value: str) -> None:
        plan, told = self.plan.answer(self.ask.key, value)
        self.go(next_desk(plan, told))

    def _looks(self, at: str) -> list[Item]:
        beside_it = [
            Item(f"beside {LAYOUTS[one]}", partial(self._look, at, one)) for one in other_layouts(self.plan.given, at)
        ]
        return [Item("what it will see", partial(self._look, at)), *beside_it]

    def _look(self, at: str, *others: str) -> None:
        # the figures take numpy and scipy: loaded here, when they are asked for
        from fieldtui.laying.sight_desk import SightDesk

        self.go(SightDesk(self.plan, at, others, partial(LayDesk, self.plan)))


class WriteDesk(PlanDesk):
    """All of it once more: what is wrong, what is missing on site; then written."""

    def __init__(self, plan: Plan, told: str = "") -> None:
        super().__init__(plan, "ready to be written", "Write it", told)
        self.section = None
        try:
            route = plan.route()
        except RouteRefused as refused:
            self.lines = _listed([f"■ {one.key or one.where}: {one.what}; {one.todo}" for one in refused.problems])
            self.text = "It cannot be written like this. Go back and set it right."
            self.menu = Menu(self.text, (), BACK)
            return
        words = [f"▲ {one.key}: {one.what}; {one.todo}" for one in advice(route, plan.today)]
        chords = sum(1 for _ in route.walk())
        self.lines = _listed(
            [f"{counted(len(route.stations), 'station')}, {counted(chords, 'chord')} to read.", *words]
        )
        what = f"write {plan.path}" if plan.existing is None else f"add it at the end of {plan.path}"
        self.menu = Menu(self.text, (Item(what, self._write),), BACK)

    def _write(self) -> None:
        self.plan.write()
        self.go(WrittenDesk(self.plan))


class WrittenDesk(ListDesk):
    """The file is there."""

    purpose = "The route file is written. It is plain text, to be edited; fieldtui check says what is wrong in it."

    def __init__(self, plan: Plan) -> None:
        about = [
            f"Written: {plan.path}",
            "It is a text file: open it in an editor, change what you like, and check it.",
        ]
        items = (Item("open it", self._open), Item("leave", self._leave))
        super().__init__(plan.path.name, about, items, "What now")
        self.path = plan.path

    def _open(self) -> None:
        self.go(StartDesk(job_to_walk(self.path)))

    def _leave(self) -> None:
        self.done = True


def next_desk(plan: Plan, told: str = "") -> ListDesk:
    """The page of the next question, or the last page."""
    return WriteDesk(plan, told) if plan.next_ask() is None else LayDesk(plan, told)


def _listed(texts: list[str]) -> Lines:
    """Advice in lines; the same words for many places are told once, with the first of them."""
    told: dict[str, list[str]] = {}
    for text in texts:
        place, _, words = text.partition(": ")
        told.setdefault(words or text, []).append(place)
    lines: Lines = []
    for words, places in told.items():
        more = f" and {len(places) - 1} more" if len(places) > 1 else ""
        text = f"{places[0]}{more}: {words}" if words != places[0] else words
        lines += wrapped(text, 76, "notice" if text[0] in "▲■" else "")
    return lines
