"""Before the walk: which route, and for a route, which survey: resume, close as it is, start anew.

    RoutesDesk ──► StartDesk ──► WalkDesk

Each desk shows one numbered list; what is chosen makes the desk that comes next.
"""

from __future__ import annotations

from functools import partial
from pathlib import Path

from fieldtui.errors import FieldError
from fieldtui.job import (
    PRACTICE,
    SURVEY,
    Job,
    Survey,
    Walk,
    before_start,
    load_job,
    local_time,
    logs_folder,
    system_clock,
)
from fieldtui.log import short_code
from fieldtui.route import RouteRefused, load_route
from fieldtui.tui.desk import WalkDesk
from fieldtui.tui.draw import draw_walk
from fieldtui.tui.draw_form import field_cells
from fieldtui.tui.draw_side import draw_menu
from fieldtui.tui.field import Field
from fieldtui.tui.lines import Lines, fit, rule, stack, wrapped
from fieldtui.tui.menu import Item, Menu
from fieldtui.tui.page import Desk, Drawing


class ListDesk:
    """A page with a title, some lines, a numbered list and a field for the number."""

    def __init__(self, title: str, about: list[str], items: tuple[Item, ...], question: str) -> None:
        self.title = title
        self.about = about
        self.menu = Menu(question, items)
        self.field = Field()
        self.message = ""
        self.refused = False
        self.bell = False
        self.done = False
        self.next: ListDesk | WalkDesk | None = None

    def press(self, key: str, character: str | None) -> None:
        """A number, an arrow, Enter; Esc or F10 leaves."""
        if key in ("escape", "f10") or (character in ("q", "Q") and self.field.empty):
            self.done = True
        elif key == "enter":
            self._enter()
        elif (moved := self.menu.move(key)) is not None:
            self.menu = moved
        else:
            edited = self.field.key(key)
            if edited is None and character is not None and character.isprintable():
                edited = self.field.insert(character)
            self.field, self.message, self.refused = edited or self.field, "", False

    def paste(self, text: str) -> None:
        """A number may be pasted; several lines are refused."""
        if len(text.splitlines()) > 1:
            self._refuse("Several lines were pasted. Type one number.")
        else:
            self.field = self.field.insert(text.strip())

    def go(self, desk: ListDesk | WalkDesk) -> None:
        """Make another desk the next one."""
        self.next, self.done = desk, True

    def _enter(self) -> None:
        self.message, self.refused = "", False
        try:
            self.menu.pick(self.field.text).choose()
            self.field = Field()
        except FieldError as error:
            self._refuse(str(error))

    def _refuse(self, sentence: str) -> None:
        self.message, self.refused, self.bell = sentence, True, True


def draw_list(desk: ListDesk, width: int, height: int) -> Lines:
    """The page of a list: exactly `height` lines of `width` cells."""
    head = [fit([(f" {desk.title}".ljust(width), "head")], width)]
    about = [[(" ", ""), *line] for text in desk.about for line in wrapped(text, width - 2)]
    shown = desk.message or "Type a number and press Enter, or choose with the arrows. Esc: leave."
    role = "alarm" if desk.refused else "main" if desk.message else "quiet"
    message = stack([[(" ", ""), *line] for line in wrapped(shown, width - 2, role)], width, 5 if desk.refused else 2)
    foot = [rule("", width), fit([(" [", "main"), *field_cells(desk.field, 6), ("]", "main")], width), *message]
    room = max(3, height - len(head) - 1 - min(len(about), 8) - len(foot))
    body = draw_menu(desk.menu, width - 1, room)
    return stack([*head, [("", "")], *about[:8], *[[(" ", ""), *line] for line in body], *foot], width, height)


def drawing(desk: Desk) -> Drawing:
    """The function that draws a desk."""
    if isinstance(desk, WalkDesk):
        return partial(draw_walk, desk)
    if isinstance(desk, ListDesk):
        return partial(draw_list, desk)
    raise TypeError(f"nothing draws {desk!r}")


class StartDesk(ListDesk):
    """The surveys of one route."""

    def __init__(self, job: Job, told: str = "") -> None:
        self.job = job
        closed = sum(1 for survey in job.surveys if survey.state.closed)
        about = [f"{job.route.path}", f"{closed} closed surveys. {_last(job)}"]
        about += [f"▲ {told}" for told in before_start(job.folder, job.logs.logs, system_clock())]
        about += [f"▲ {problem}" for problem in job.problems]
        super().__init__(job.route.name, about, (), "What now")
        self.menu = Menu("What now", self._items())
        self.message = told

    def _items(self) -> tuple[Item, ...]:
        items: list[Item] = []
        for survey in self.job.unclosed:
            what = "practice survey" if survey.scope == PRACTICE else "survey"
            state = f"begun {local_time(survey.route, survey.started)}" + (", open elsewhere" if survey.locked else "")
            items.append(Item(f"resume {what} {survey.label}", partial(self._resume, survey), state))
            items.append(Item(f"close {what} {survey.label} as it is", partial(self._close, survey)))
        items.append(Item("start a new survey", partial(self._begin, SURVEY)))
        items.append(Item("start a practice survey, kept out of the job", partial(self._begin, PRACTICE)))
        return tuple(items)

    def _begin(self, scope: str) -> None:
        self.go(WalkDesk(Walk.begin(self.job, scope=scope), self.job))

    def _resume(self, survey: Survey) -> None:
        self.go(WalkDesk(Walk.resume(self.job, survey), self.job))

    def _close(self, survey: Survey) -> None:
        code = short_code(Walk.resume(self.job, survey).close().h)
        self.go(open_route(self.job, f"Survey {survey.label} is closed. Code for the field book: {code}"))


def open_route(job: Job, told: str = "") -> StartDesk:
    """The start page of a route, its logs read anew."""
    return StartDesk(load_job(job.route, job.folder), told)


def routes_found(folder: Path) -> tuple[Path, ...]:
    """Route files in a folder, and in the folders one and two levels below it."""
    found = [path for pattern in ("*.toml", "*/*.toml", "*/*/*.toml") for path in sorted(folder.glob(pattern))]
    return tuple(path for path in found if _looks_like_a_route(path))


class RoutesDesk(ListDesk):
    """The routes found below the present folder."""

    def __init__(self, folder: Path) -> None:
        items = tuple(Item(str(path.relative_to(folder)), partial(self._open, path)) for path in routes_found(folder))
        about = [f"Routes below {folder}"] if items else []
        super().__init__("fieldtui: tape convergence surveys", about, items, "Open a route")

    def _open(self, path: Path) -> None:
        try:
            route = load_route(path)
        except RouteRefused as refused:
            first = refused.problems[0]
            raise FieldError(
                f"{len(refused.problems)} mistakes in the file; the first: {first}", todo=f"See: fieldtui check {path}"
            ) from refused
        self.go(StartDesk(load_job(route, logs_folder(route))))


def _looks_like_a_route(path: Path) -> bool:
    try:
        text = path.read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError):
        return False
    return any(line.split("#")[0].replace(" ", "").startswith("format=") for line in text.splitlines())


def _last(job: Job) -> str:
    closed = [survey for survey in job.surveys if survey.state.closed]
    if not closed:
        return "No survey has been closed yet."
    return f"Last: {closed[-1].label}, {local_time(closed[-1].route, closed[-1].started)} {job.route.time_zone}."
