"""A route's logs and journals as one job: surveys in order, readings in order of reading time, what is known before a
survey, what is open.

    LogFolder ──► journals ──► surveys as amended ──► Account ──► readings, ground, history, calls, questions
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from decimal import Decimal
from functools import cached_property
from pathlib import Path

from msgspec import Struct
from msgspec.structs import replace

from fieldtui.job.account import Account
from fieldtui.job.amend import Settled, settle
from fieldtui.job.called_now import called_now
from fieldtui.job.calls import Call, calls_of, seen_in, tellings
from fieldtui.job.checked_routes import CheckedRoutes
from fieldtui.job.corrections import Corrections
from fieldtui.job.elsewhere import Elsewhere, elsewhere_of
from fieldtui.job.forks import with_settled_forks
from fieldtui.job.history import Row, history_of
from fieldtui.job.journal import Journals, read_journals
from fieldtui.job.kept import Kept, derive, digest
from fieldtui.job.names import Names
from fieldtui.job.proof import zeros_of
from fieldtui.job.questions import Question, questions_of
from fieldtui.job.readings import Reading, Reductions
from fieldtui.job.state_of_logs import mixing_told, problems_of, warnings_of
from fieldtui.job.survey import PRACTICE, Survey, route_record, surveys_and_left_out
from fieldtui.log import LogFolder
from fieldtui.log.index import read_indexed
from fieldtui.reduction import Ground
from fieldtui.route import Route, RouteRefused
from fieldtui.survey import ZERO_KEY, State

LOGS = "logs"
AT_ONCE = 100
"""So many readings are gone through while somebody waits for a page; more of them behind it."""


def logs_folder(route: Route, logs: Path | None = None) -> Path:
    """Where the logs of a route are: beside its file, unless another folder is given."""
    if logs is not None:
        return logs
    if route.path is None:
        raise ValueError("a route that was read from a log has no folder of its own")
    return route.path.parent / LOGS


class Job(Struct, frozen=True, dict=True):
    """All that is known of a route. Made anew from the files whenever it is wanted."""

    route: Route
    """The route file as it stands now."""
    folder: Path
    logs: LogFolder
    surveys: tuple[Survey, ...]
    """In order of their first reading, practice among them."""
    journals: Journals
    settled: Settled
    told: tuple[str, ...] = ()
    """What has to be said of it before anything else."""

    def survey(self, survey_id: str) -> Survey | None:
        return next((survey for survey in self.surveys if survey.id == survey_id), None)

    @property
    def readings_at_most(self) -> int:
        """About how many readings there are, no survey looked at for it."""
        return len(self.counting) * sum(1 for _ in self.route.walk())

    @property
    def has_years_behind(self) -> bool:
        """Whether there are so many readings that no page waits until all are gone through."""
        return self.readings_at_most > AT_ONCE

    @property
    def may_begin(self) -> bool:
        """Whether a survey can be begun: the route is that of its file, and not one that a log holds."""
        return self.route.path is not None

    @property
    def unclosed(self) -> tuple[Survey, ...]:
        """Surveys that can be resumed, the newest first."""
        return tuple(survey for survey in reversed(self.surveys) if survey.open)

    @property
    def problems(self) -> tuple[str, ...]:
        """What is wrong with the logs of the folder, in words."""
        told = (*self.told, *self.elsewhere.told, *mixing_told(self._names.mixing))
        return (*told, *problems_of(self.logs, self.surveys, self.journals, self.settled))

    @property
    def warnings(self) -> tuple[str, ...]:
        """What the figures of the job still lack: baselines not complete, gaps of which nothing is known."""
        return tuple(warnings_of(self.account.stories.values()))

    def last_answers(self, without: str = "") -> dict[str, str]:
        """What was answered in the newest other survey to the questions at the start."""
        others = (survey.state for survey in reversed(self.surveys) if survey.id != without and survey.state.said)
        newest = next(others, State())
        return {what: entry.typed for what, entry in newest.said.items()}

    def zero_before(self, survey_id: str, extensometer: str) -> Decimal | None:
        """The last dial zero of an extensometer in the surveys but this one, practice apart, in the route's small unit.

        None where none has read it. Looked for once: a key at the dial zero asks for it.
        """
        asked = (survey_id, extensometer)
        if asked not in self._zeros_before:
            others = (survey for survey in reversed(self.counting) if survey.id != survey_id)
            zeros = (zeros_of(survey.bookings_of(ZERO_KEY), extensometer) for survey in others)
            self._zeros_before[asked] = next((read[-1] for read in zeros if read), None)
        return self._zeros_before[asked]

    @cached_property
    def _zeros_before(self) -> dict[tuple[str, str], Decimal | None]:
        return {}

    # -- the account -------------------------------------------------------------------------------------------------

    @cached_property
    def counting(self) -> tuple[Survey, ...]:
        """The surveys that are not practice."""
        return tuple(survey for survey in self.surveys if survey.scope != PRACTICE)

    @cached_property
    def account(self) -> Account:
        """All counting surveys taken together."""
        return self._account()

    def _account(self, without: str = "", before: datetime | None = None) -> Account:
        kept = tuple(survey for survey in self.counting if survey.id != without)
        told = (self.declared, self._reductions, self._names, self.labels)
        return Account(self.route, kept, *told, before, self.elsewhere.frames)

    @cached_property
    def elsewhere(self) -> Elsewhere:
        """What the logs of other routes tell of the instruments."""
        return elsewhere_of(self.route, {survey.id for survey in self.surveys})

    @cached_property
    def corrections(self) -> Corrections:
        """Figures of the route that journals set right."""
        return Corrections(self.journals.corrections)

    @cached_property
    def _reductions(self) -> Reductions:
        return Reductions(self.corrections)

    @cached_property
    def declared(self) -> Journals:
        """What the journals declare, stations by their present names."""
        return called_now(self.journals, self._names)

    @cached_property
    def _names(self) -> Names:
        return Names(
            self.route, [(survey.started, survey.route) for survey in reversed(self.counting)], self.journals.renamed
        )

    @cached_property
    def labels(self) -> dict[str, str]:
        """Survey id -> label; of crews in parallel who chose one label, the later ones with a part of their id."""
        given: dict[str, str] = {}
        taken: set[str] = set()
        for survey in self.surveys:
            label = survey.label if survey.label not in taken else f"{survey.label} [{survey.id[:6]}]"
            given[survey.id] = label
            taken.add(label)
        return given

    def readings(self, *, without: str = "", before: datetime | None = None) -> Iterator[Reading]:
        """Accepted readings of all surveys but practice and the one left out, in order of reading time.

        Of a chord that was read several times in one survey, the reading that counts.
        """
        account = self.account if not without and before is None else self._account(without, before)
        return (reading for reading in account.readings if reading.counts or reading.doubtful)

    def ground(self, *, without: str = "", before: datetime | None = None) -> Ground:
        """What is known before a survey: every other survey's readings, or those before a time."""
        return self.apart_from(without).ground if before is None else self._account(without, before).ground

    def apart_from(self, survey: str) -> Account:
        """All counting surveys but one, by its id."""
        if not any(one.id == survey for one in self.counting):
            return self.account
        if survey not in self._apart:
            self._apart[survey] = self._account(survey)
        return self._apart[survey]

    @cached_property
    def _apart(self) -> dict[str, Account]:
        return {}

    # -- what follows from it ----------------------------------------------------------------------------------------

    @cached_property
    def _history(self) -> tuple[Row, ...]:
        return history_of(self.account, self.corrections)

    def history(self) -> tuple[Row, ...]:
        """One row for each booking of a chord, doubtful, struck and not read ones too, in order of reading time."""
        return self._history

    @cached_property
    def calls(self) -> tuple[Call, ...]:
        """Every call that a level has opened, the oldest first, with who was told of it."""
        return calls_of(seen_in(self._history, self.account.by_id), tellings(self.counting, self.journals, self._names))

    def open_calls(self) -> tuple[Call, ...]:
        """Calls of which somebody has still to be told, the oldest first."""
        return tuple(call for call in self.calls if call.untold)

    @cached_property
    def _questions(self) -> tuple[Question, ...]:
        return tuple(
            questions_of(
                self.route, self.counting, self.journals, self.settled, self.corrections, self._names, self.logs
            )
        )

    def questions(self) -> tuple[Question, ...]:
        """What has to be declared and is not guessed: a route that differs, amendments that differ, forks."""
        return self._questions


def load_job(route: Route, folder: Path, checked: CheckedRoutes | None = None) -> Job:
    """Read a folder through its index. A folder that is not there yet is a job without surveys.

    What was `checked` is not checked again, and what had to be is kept there.
    """
    logs, derived = read_indexed(folder, derive())
    own = digest(route_record(route))
    known: dict[str, Route | RouteRefused] = {**(checked.of_record if checked is not None else {})}
    known[own] = replace(route, path=None)
    job = job_of(route, folder, logs, Kept(derived), known)
    if checked is not None:
        held = {id(survey.route) for survey in job.surveys}
        checked.keep(
            {key: one for key, one in known.items() if isinstance(one, Route) and (key == own or id(one) in held)}
        )
    return replace(job, told=(*new_folder(route, folder), *job.told))


def new_folder(route: Route, folder: Path) -> tuple[str, ...]:
    """Said of a folder that was named and is not there: it may be a slip of the pen."""
    if folder.exists() or (route.path is not None and folder == route.path.parent / LOGS):
        return ()
    return (f"There is no folder {folder} yet: it is new, and no earlier survey is known from it. Was it meant so?",)


def job_of(
    route: Route,
    folder: Path,
    logs: LogFolder,
    kept: Kept | None = None,
    known: dict[str, Route | RouteRefused] | None = None,
) -> Job:
    """The job that these logs hold, whatever order they came in. `known` routes: see `surveys_and_left_out`."""
    logs = with_settled_forks(logs, read_journals(logs.logs).kept)
    # one that breaks off before its first record tells nothing
    files = tuple(log for log in logs.logs if log.records)
    journals = read_journals(files)
    settled = settle(journals.amendments)
    found, left = surveys_and_left_out(files, settled, kept, known)
    return Job(route, folder, logs, found, journals, settled, tuple(map(str, left)))
