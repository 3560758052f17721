"""Before the walk: which route, and for a route, which survey: resume, close as it is, start anew.

    RoutesDesk ──► StartDesk ──► WalkDesk

Each desk shows one numbered list; what is chosen makes the desk that comes next. The pages that a survey does not need
are loaded when they are opened: the first question does not wait for them. `app.py` has them loaded a second after the
first page, so that opening one does not wait either.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path

from msgspec.structs import replace

from fieldtui.counted import counted
from fieldtui.errors import FieldError
from fieldtui.job import (
    PRACTICE,
    SURVEY,
    Job,
    Question,
    Survey,
    Walk,
    before_start,
    job_to_walk,
    load_job,
    local_time,
    system_clock,
)
from fieldtui.job.checked_routes import CheckedRoutes
from fieldtui.job.due_told import due_lines
from fieldtui.job.instrument import instruments_of
from fieldtui.log import short_code
from fieldtui.route import RouteRefused
from fieldtui.settings import AS_USUAL, Settings
from fieldtui.survey import missing
from fieldtui.survey import words as say
from fieldtui.tui.desk import WalkDesk
from fieldtui.tui.desks import Desk, Drawing, DrawsItself, Elsewhere
from fieldtui.tui.draw import draw_walk
from fieldtui.tui.lines import Lines
from fieldtui.tui.list_desk import ListDesk, draw_list
from fieldtui.tui.menu import Item, Menu
from fieldtui.tui.progress import Work
from fieldtui.tui.tour import TourDesk, is_offered
from fieldtui.tui.worked_out import WorkedOut, WorkingOut, work_out


def drawing(desk: Desk) -> Drawing:
    """The function that draws a desk."""
    if isinstance(desk, WalkDesk):
        return partial(draw_walk, desk)
    if isinstance(desk, DrawsItself):
        return desk.draw
    if isinstance(desk, ListDesk):
        return partial(draw_list, desk)
    raise TypeError(f"nothing draws {desk!r}")


def load_pages() -> None:
    """Load the pages that are else loaded when they are opened. `ImportError` where one cannot be."""
    from fieldtui.tui import due_page, instrument_page, journal, questions  # noqa: F401


_TOUR = "a tour of the walk, in five short pages"
_WAIT = "Working out what has to be read and who has still to be told{far}. A survey can be chosen meanwhile."


class StartDesk(ListDesk):
    """The surveys of one route."""

    purpose = (
        "One route: go on with a survey that is open, start a new one, see what has to be read and what has "
        "moved, write into the journal. What stands in the way of a survey, or has still to be done, is said "
        "above the list."
    )

    def __init__(self, job: Job, told: str = "") -> None:
        self.job = job
        self._worked_out: WorkedOut | None = None
        self._settings = AS_USUAL
        self._tour = is_offered(job)
        self._work: Work | None = None
        if not job.has_years_behind:
            self._worked_out = work_out(job, system_clock())
        self._of_logs = (*before_start(job.folder, job.logs.logs, system_clock()), *job.problems)
        super().__init__(job.route.name, self._said(), (), "What now")
        self.menu = Menu("What now", self._items(), back=False)
        self.message = told

    def take(self, settings: Settings) -> None:
        """Say what is wrong in the settings."""
        self._settings = settings
        if settings.problems:
            self.about = self._said()

    def work(self) -> Callable[[], None] | None:
        """What goes through every reading, where there are many: a survey can be chosen before it is done."""
        under_way = self._work is not None and not self._work.stopped
        if under_way or self._worked_out is not None:
            return None
        # the help of this page stops it, and leads back
        working = WorkingOut(self.job, system_clock())
        self._work = Work(self._steps(working), working.chords)
        return self._work

    def _steps(self, working: WorkingOut) -> Iterator[None]:
        for _ in working.steps():
            yield
            self.about = self._said()
        self._worked_out = working.found
        self.about = self._said()

    def at_side(self, width: int) -> Lines:
        """What has to be read, once it is worked out."""
        worked = self._worked_out
        if worked is None:
            return []
        from fieldtui.tui.due_page import hanging

        return hanging(due_lines(worked.due, self.job.route, worked.at, worked.calls), width)

    @property
    def _far(self) -> str:
        return f": {self._work.done} of {self._work.of} chords" if self._work is not None else ""

    def _said(self) -> list[str]:
        job, worked = self.job, self._worked_out
        closed = sum(1 for survey in job.surveys if survey.state.closed)
        said = [f"{job.route.path or job.folder}", f"{counted(closed, 'closed survey')}. {_last(job)}"]
        said += [f"▲ Settings: {told}" for told in self._settings.problems]
        said += worked.first if worked is not None else [_WAIT.format(far=self._far)]
        said += [f"▲ {told}" for told in (*self._of_logs, *(worked.warnings if worked is not None else ()))]
        said += [f"▲ {question.text}" for question in job.questions()]
        return [*said, f"Here for the first time? The last line of the list is {_TOUR}."] if self._tour else said

    def _items(self) -> tuple[Item, ...]:
        items: list[Item] = []
        for survey in self.job.unclosed:
            what = "practice survey" if survey.scope == PRACTICE else "survey"
            state = f"begun {local_time(self.job.route, survey.started)}" + (
                ", open in another program" if survey.locked else ""
            )
            items.append(Item(f"resume {what} {survey.label}", partial(self._resume, survey), state))
            if not survey.locked:
                items.append(Item(f"close {what} {survey.label} as it is", partial(self._close, survey)))
        if self.job.may_begin:
            items.append(Item("start a new survey", partial(self._begin, SURVEY)))
        for question in self.job.questions():
            items.append(Item(f"answer the question about {question.about}", partial(self._answer, question)))
        if self.job.may_begin:
            items.append(Item("what has to be read, and when", self._due))
            items.append(Item("look at what has moved", self._review))
            items.append(Item("write into the journal: who was told, an anchor, a certificate", self._journal))
            items.append(Item("the instruments: charts, what is in doubt, care, certificates", self._instruments))
            items.append(Item("start a practice survey, kept out of the job", partial(self._begin, PRACTICE)))
        if self._tour:
            items.append(Item(_TOUR, self._tour_of_it))
        return tuple(items)

    def _tour_of_it(self) -> None:
        self.go(TourDesk(self._settings.keyboard, partial(open_route, self.job)))

    def _begin(self, scope: str) -> None:
        self.go(WalkDesk(Walk.begin(self.job, scope=scope), self.job))

    def _due(self) -> None:
        from fieldtui.tui.due_page import DueDesk

        if self._worked_out is None and self._work is not None:
            raise FieldError(f"That is still being worked out{self._far}.", todo="Ask again in a moment.")
        worked = self._worked_out
        if worked is None or not self.job.has_years_behind:
            worked = work_out(self.job, system_clock())
        self.go(DueDesk(self.job, worked, partial(open_route, self.job)))

    def _instruments(self) -> None:
        from fieldtui.tui.instrument_page import InstrumentDesk

        now = system_clock()
        self.go(InstrumentDesk(self.job, instruments_of(self.job, now), partial(open_route, self.job)))

    def _review(self) -> None:
        self.go(Elsewhere("review", self.job))

    def _resume(self, survey: Survey) -> None:
        desk = WalkDesk(Walk.resume(self.job, survey), self.job)
        if self.job.may_begin and self.job.route.text != survey.route.text:
            desk.message = "The route file was changed since; this survey goes on with the route as it was."
        self.go(desk)

    def _answer(self, question: Question) -> None:
        from fieldtui.tui.questions import QuestionDesk

        self.go(QuestionDesk(self.job, question, partial(open_route, self.job)))

    def _journal(self) -> None:
        from fieldtui.tui.journal import JournalDesk

        self.go(JournalDesk(self.job, partial(open_route, self.job)))

    def _close(self, survey: Survey) -> None:
        self.go(SureDesk(self, survey))

    def close_surely(self, survey: Survey) -> StartDesk:
        """Close a survey as it is; the start page after that, with the code of its log."""
        code = short_code(Walk.resume(self.job, survey).close().h)
        return open_route(self.job, f"Survey {survey.label} is closed. Code for the field book: {code}")


class SureDesk(ListDesk):
    """Asked once more, Enter alone going back: a closed survey is never written again."""

    purpose = (
        "A closed survey is never written again. What was not read stays not read; what is wrong in it can "
        "still be struck out, in the journal."
    )

    def __init__(self, start: StartDesk, survey: Survey) -> None:
        left = len(missing(survey.route, survey.state))
        about = [f"Close survey {survey.label} as it is, with {say.planned(left, 'not dealt with')}?"]
        items = (
            Item("no, leave it open", lambda: self.go(open_route(start.job))),
            Item("yes, close it: nothing is written to it again", lambda: self.go(start.close_surely(survey))),
        )
        super().__init__(start.title, about, items, "Are you sure")
        self.back = lambda: open_route(start.job)


def open_route(job: Job, told: str = "") -> StartDesk:
    """The start page of a route, its logs read anew."""
    anew = load_job(job.route, job.folder, CheckedRoutes(job.folder))
    return StartDesk(replace(anew, told=job.told), told)


def routes_found(folder: Path) -> tuple[Path, ...]:
    """Route files in a folder, and in the folders one and two levels below it."""
    found = [path for pattern in ("*.toml", "*/*.toml", "*/*/*.toml") for path in sorted(folder.glob(pattern))]
    return tuple(path for path in found if _looks_like_a_route(path))


class RoutesDesk(ListDesk):
    """The routes found below the present folder."""

    purpose = (
        "The route files in this folder and two levels below it. Open one to walk it, to look at what has "
        "moved, or to write into its journal."
    )

    def __init__(self, folder: Path) -> None:
        items = tuple(Item(str(path.relative_to(folder)), partial(self._open, path)) for path in routes_found(folder))
        self._found = [f"Routes below {folder}"] if items else []
        super().__init__("fieldtui: tape convergence surveys", self._found, items, "Open a route")

    def take(self, settings: Settings) -> None:
        """Say what is wrong in the settings."""
        self.about = [*self._found, *(f"▲ Settings: {told}" for told in settings.problems)]

    def _open(self, path: Path) -> None:
        try:
            job = job_to_walk(path)
        except RouteRefused as refused:
            first = refused.problems[0]
            raise FieldError(
                f"{counted(len(refused.problems), 'mistake')} in the file; the first: {first}",
                todo=f"See: fieldtui check {path}",
            ) from refused
        self.go(StartDesk(job))


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
    return f"Last: {closed[-1].label}, {local_time(job.route, closed[-1].started)} {job.route.time_zone}."
