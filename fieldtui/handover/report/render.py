"""Facts and templates to HTML: everything is escaped, and what steers a screen is spelled out.

The page has no script and refers to nothing outside; its policy says so to the browser that opens it.
"""

from __future__ import annotations

from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined, select_autoescape
from markupsafe import Markup

from fieldtui import __version__
from fieldtui.counted import counted
from fieldtui.handover.report.first_page import FirstPage, first_page
from fieldtui.handover.report.heads import heads
from fieldtui.handover.report.proof import Proof, proof_of
from fieldtui.handover.report.saving import MARK
from fieldtui.handover.report.sayings import newest_remarks, sayings
from fieldtui.handover.report.scope import Scope
from fieldtui.handover.report.stations import station_parts
from fieldtui.handover.report.words import Words
from fieldtui.handover.texts import visible
from fieldtui.progress import Progress
from fieldtui.survey.words import CAUTIONS

POLICY = "default-src 'none'; style-src 'unsafe-inline'"
_NAMED = 4
MOST_ROWS = 8
"""Of one table of the first page: it has to stay one page, and to be read in two minutes."""
_STATUS = {
    "raw": "Raw: as booked, checked by nobody",
    "checked": "Checked by",
    "issued": "Issued by",
}


def full_report(scope: Scope, progress: Progress) -> str:
    """The whole report."""
    words = Words(scope.job.route)
    parts = station_parts(scope, words, progress)
    return _rendered(
        "report.html", scope, words, stations=parts, heads=heads(scope, words), sayings=sayings(scope, words)
    )


def shift_form(scope: Scope) -> str:
    """One page for the shift: the first page alone, its lists shorter, with room to sign."""
    return _rendered("shift.html", scope, Words(scope.job.route), most_rows=5)


def headline(page: FirstPage, proof: Proof) -> tuple[str, str]:
    """(state, sentence): what has to be known first."""
    told = []
    if page.above:
        told.append(_chords("ABOVE a level", page.above))
    if page.cannot_tell:
        told.append(_chords("that cannot be told from a level", page.cannot_tell))
    if not told:
        told.append(_below(page))
    if page.untold:
        calls = "" if page.untold == 1 else f"of {page.untold} calls "
        told.append(f"{calls}somebody has still to be told")
    if proof.verdict != "proven":
        told.append(f"the instrument is {proof.verdict}")
    state = "above" if page.above else "cannot tell" if page.cannot_tell else "below"
    return state, "; ".join(told) + "."


def status_line(scope: Scope) -> str:
    """How far it was checked, by whom."""
    return f"{_STATUS[scope.status]} {scope.by}".strip()


def _below(page: FirstPage) -> str:
    """Of a chord that was read once, or has no level, nothing is said to be below."""
    if page.judged == page.read and page.read:
        return "Every chord that was read is below the levels that the route states for it"
    if not page.judged:
        return "No chord can be held against a level yet: each was read once, or has no level"
    return f"Below their levels, as far as they can be held against one: {page.judged} of {counted(page.read, 'chord')}"


def _chords(what: str, places: tuple[str, ...]) -> str:
    """How many, and the first of them by name."""
    named = ", ".join(places[:_NAMED]) + (" ..." if len(places) > _NAMED else "")
    return f"{counted(len(places), 'chord')} {what} ({named})"


def _rendered(template: str, scope: Scope, words: Words, most_rows: int = MOST_ROWS, **more: Any) -> str:
    page, proof = first_page(scope, words), proof_of(scope, words)
    state, sentence = headline(page, proof)
    return (
        _environment()
        .get_template(template)
        .render(
            policy=POLICY,
            mark=f"{MARK}, version {__version__}",
            version=__version__,
            route=scope.job.route,
            words=words,
            scope=scope,
            as_of=words.time(scope.as_of),
            listed=_listed(scope, words),
            status=status_line(scope),
            page=page,
            proof=proof,
            state=state,
            headline=sentence,
            problems=(*scope.job.problems, *scope.job.warnings),
            cautions=CAUTIONS,
            most_rows=most_rows,
            remarks=newest_remarks(scope, words),
            **more,
        )
    )


def _listed(scope: Scope, words: Words) -> str:
    """What the tables list."""
    if scope.alone:
        return f"Tables list the readings of survey {scope.job.labels[scope.newest.id]}; figures show all readings."
    if scope.since is not None:
        return f"Tables list readings from {words.time(scope.since)}; figures show all readings."
    return "Tables list every reading."


def _environment() -> Environment:
    return Environment(
        loader=PackageLoader("fieldtui.handover.report"),
        autoescape=select_autoescape(default=True, default_for_string=True),
        undefined=StrictUndefined,
        finalize=_finalized,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )


def _finalized(value: Any) -> Any:
    return visible(value) if isinstance(value, str) and not isinstance(value, Markup) else value
