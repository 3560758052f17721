"""The plain text form: for an e-mail, or to be read out on the radio. ASCII, and under 2 kB for an ordinary survey.

Lists are cut short, and say by how much, before anything else is left out.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from fieldtui.handover.report.at_levels import CallLine
from fieldtui.handover.report.first_page import FirstPage, first_page
from fieldtui.handover.report.proof import Proof, proof_of
from fieldtui.handover.report.render import headline, status_line
from fieldtui.handover.report.saving import MARK
from fieldtui.handover.report.scope import Scope
from fieldtui.handover.report.words import Words
from fieldtui.handover.texts import visible

MOST_BYTES = 2000
_LONGEST = 320
"""Characters of one thing said."""
_MOST_LINES = 12


def text_form(scope: Scope) -> str:
    """As long as it has to be, and no longer than `MOST_BYTES` where shorter lists make that possible."""
    words = Words(scope.job.route)
    page, proof = first_page(scope, words), proof_of(scope, words)
    text = ""
    for most in range(_MOST_LINES, 0, -1):
        text = "\n".join(_ascii(line) for line in _lines(scope, words, page, proof, most)) + "\n"
        if len(text) < MOST_BYTES:
            break
    return text


def _lines(scope: Scope, words: Words, page: FirstPage, proof: Proof, most: int) -> Iterator[str]:
    label = scope.job.labels[scope.newest.id]
    yield f"{scope.job.route.name}, survey {label}, as of {words.time(scope.as_of)} {scope.job.route.time_zone}"
    k = f"{scope.job.route.coverage_factor:f}"
    yield f"{status_line(scope)}. Unit {words.small}, negative is closing, +- with k = {k}. ({MARK})"
    yield headline(page, proof)[1]
    yield from _levels(page, most)
    calls = [_call(one) for one in page.calls]
    yield from _list("TOLD", calls, most)
    moved = [
        f"{one.place}: since last {one.since_last}, since start {one.since_start}, a day {one.rate}"
        for one in page.moved
    ]
    yield from _list("MOVED", moved or ["no chord beyond the uncertainty of its readings"], most)
    yield from _list("NOT READ", [*page.unread, *page.doubtful] or ["none"], most)
    yield _short(f"INSTRUMENT: {proof.verdict}. {' '.join(proof.why)}")
    yield f"DUE: {page.due}"
    yield from _list("", page.due_lines, most)
    yield "Below means below the numbers the route states, and says nothing about the ground."


def _call(one: CallLine) -> str:
    told = "; ".join(one.told) or "nobody is booked as told"
    return f"{one.place} {one.level}: {told}" + (f"; STILL TO TELL: {one.untold}" if one.untold else "")


def _levels(page: FirstPage, most: int) -> Iterator[str]:
    lines = []
    for one in page.levels:
        true = f" ({one.remark})" if one.remark else ""
        said = f"{one.state.upper() if one.state != 'near' else 'near'} {one.level}: {one.place} {one.figure}{true}"
        lines.append(said if one.state == "near" else f"{said}. TELL: {one.tell}. DO: {one.response}")
    yield from _list("LEVELS", lines or ["none above, none near"], most)


def _list(title: str, lines: Sequence[str], most: int) -> Iterator[str]:
    for place, line in enumerate(lines[:most]):
        head = f"{title}: " if title and place == 0 else "  " if title else ""
        yield head + _short(line)
    if len(lines) > most:
        yield f"  and {len(lines) - most} more"


def _short(line: str) -> str:
    return line if len(line) <= _LONGEST else line[: _LONGEST - 3] + "..."


def _ascii(line: str) -> str:
    plain = visible(line).replace("\n", " ").translate(_PLAIN)
    return plain.encode("ascii", "backslashreplace").decode("ascii")


_PLAIN = str.maketrans(
    {"±": "+-", "–": "-", "−": "-", "“": '"', "”": '"', "■": "", "▲": "", "○": "", "△": "", "×": "x"}
)
