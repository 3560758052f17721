"""`report ROUTE`: the report, or one of its shorter forms, into a file or on the screen."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Literal

from fieldtui.counted import counted
from fieldtui.handover.report.render import full_report, shift_form
from fieldtui.handover.report.saving import refuse_what_is_no_report, save_report
from fieldtui.handover.report.scope import Scope
from fieldtui.handover.report.text_form import text_form
from fieldtui.job import Job
from fieldtui.progress import OnErrorStream

Form = Literal["full", "shift", "text"]
DONE, ATTENTION = 0, 1
_ENDS: dict[Form, str] = {"full": "report.html", "shift": "shift.html", "text": "report.txt"}


def write_report(scope: Scope, form: Form, out: Path | None, write: Callable[[str], None]) -> int:
    """Write a form and say where it is; the text form without `out` goes to the screen alone.

    Gives the exit status: 1 where somebody has still to be told of a level, or something is wrong with the logs.
    """
    attention = bool(scope.job.problems) or any(one.untold for one in scope.job.calls)
    if form == "text" and out is None:
        write(text_form(scope).rstrip("\n"))
        return ATTENTION if attention else DONE
    path = out or default_file(scope.job, form)
    # before the work, so that nobody waits for a refusal
    refuse_what_is_no_report(path)
    save_report(path, _text(scope, form))
    write(f"{path}: the {'report' if form == 'full' else f'{form} form'} of {scope.job.route.name}.")
    for problem in scope.job.problems:
        write(f"! {problem}")
    untold = sum(1 for one in scope.job.calls if one.untold)
    if untold:
        write(f"! of {counted(untold, 'level')} somebody has still to be told; page one says whom")
    return ATTENTION if attention else DONE


def default_file(job: Job, form: Form) -> Path:
    """Beside the route file, named after it."""
    path = job.route.path or job.folder
    return path.parent / f"{path.stem}-{_ENDS[form]}"


def _text(scope: Scope, form: Form) -> str:
    if form == "full":
        with OnErrorStream() as progress:
            return full_report(scope, progress)
    return shift_form(scope) if form == "shift" else text_form(scope)
