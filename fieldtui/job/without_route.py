"""A job whose route file cannot be read: what is open goes on with the route in its log, and nothing is begun."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from msgspec.structs import replace

from fieldtui.errors import FieldError
from fieldtui.job.checked_routes import CheckedRoutes
from fieldtui.job.job import LOGS, Job, job_of, load_job, logs_folder
from fieldtui.job.kept import Kept, derive
from fieldtui.job.survey import surveys
from fieldtui.log.index import read_indexed
from fieldtui.route import RouteRefused

_SHOWN = 3
"""So many mistakes of a route file are told; `check` tells all."""


def job_without_route(folder: Path, refused: FieldError | None = None) -> Job | None:
    """The job of a folder of logs by the route of its newest open survey; None where no survey is open.

    `refused` is why the route file was not taken; it is told among the problems. See `Job.may_begin`.
    """
    logs, derived = read_indexed(folder, derive())
    kept = Kept(derived)
    unclosed = [survey for survey in surveys((log for log in logs.logs if log.records), kept=kept) if survey.open]
    if not unclosed:
        return None
    job = job_of(unclosed[-1].route, folder, logs, kept)
    return replace(job, told=(*_told(refused), *job.told)) if refused is not None else job


def job_to_walk(path: Path, logs: Path | None = None) -> Job:
    """The job of a route file; where that is refused, of the survey which is open, to be resumed or closed.

    `RouteRefused` where none is open.
    """
    checked = CheckedRoutes(logs or path.parent / LOGS)
    try:
        route = checked.load(path)
    except RouteRefused as refused:
        job = job_without_route(logs or path.parent / LOGS, refused)
        if job is None:
            raise
        return job
    return load_job(route, logs_folder(route, logs), checked)


def _told(refused: FieldError) -> Iterator[str]:
    mistakes = [str(one) for one in refused.problems] if isinstance(refused, RouteRefused) else [str(refused)]
    yield from mistakes[:_SHOWN]
    if len(mistakes) > _SHOWN:
        yield f"and {len(mistakes) - _SHOWN} more mistakes in the route file: fieldtui check tells all of them."
    yield (
        "The route file cannot be walked. Only what is open can be resumed or closed, with the route that its log "
        "holds; correct the file before a new survey."
    )
