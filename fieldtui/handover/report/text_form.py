"""The plain text form: for an e-mail, or to be read out on the radio. ASCII, and under 2 kB for an ordinary survey.

Lists are cut short, and say by how much, before anything else is left out.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from fieldtui.handover.report.at_levels import CallGroup
from fieldtui.handover.report.first_page import FirstPage, first_page
from fieldtui.handover.report.proof import Proof, proof_of
from fieldtui.handover.report.render import headline, status_line
from fieldtui.handover.report.saving import MARK
from fieldtui.handover.report.scope import Scope
from fieldtui.handover.report.words import Words
from fieldtui.handover.texts import visible

MOST_BYTES = 2000
_LONGEST = 320
_SIZES = [(most, longest) for longest in (_LONGEST, 160, 110) for most in range(12, 2, -1)] + [(2, 80), (1, 80)]
"""Lines of a list, and characters of a line: tried in this order until the text is short enough."""


def text_form(scope: Scope) -> str:
    """As long as it has to be, and no longer than `MOST_BYTES` where shorter lists make that possible."""
    words = Words(scope.job.route)
    page, proof = first_page(scope, words), proof_of(scope, words)
    text = ""
    for most, longest in _SIZES:
        text = "\n".join(_ascii(line) for line in _lines(scope, words, page, proof, most, longest)) + "\n"
        if len(text) < MOST_BYTES:
            break
    return text


def _lines(scope: Scope, words: Words, page: FirstPage, proof: Proof, most: int, longest: int) -> Iterator[str]:
    label = scope.job.labels[scope.newest.id]
    yield f"{scope.job.route.name}, survey {label}, as of {words.time(scope.as_of)} {scope.job.route.time_zone}"
    k = f"{scope.job.route.coverage_factor:f}"
    yield f"{status_line(scope)}. Unit {words.small}, negative is closing, +- with k = {k}. ({MARK})"
    yield headline(page, proof)[1]
    yield from _list("LOGS", scope.job.problems, most, longest)
    yield from _levels(page, most, longest)
    calls = [_call(one) for one in page.call_groups]
    yield from _list("TOLD", calls, most, longest)
    moved = [
        f"{one.place}: since last {one.since_last}, since start {one.since_start}, a day {one.rate}"
        for one in page.moved
    ]
    yield from _list("MOVED", moved or ["no chord beyond the uncertainty of its readings"], most, longest)
    yield from _list("NOT READ", [*page.unread, *page.doubtful] or ["none"], most, longest)
    yield _short(f"INSTRUMENT: {proof.verdict}. {' '.join(proof.why)}", longest)
    yield f"DUE: {page.due[:1].lower()}{page.due[1:]}"
    yield from _list("", page.due_lines, most, longest)
    yield "Below means below the numbers the route states, and says nothing about the ground."


def _call(one: CallGroup) -> str:
    told = "; ".join(one.told) or "nobody is booked as told"
    still = f"STILL TO TELL: {one.untold}; " if one.untold else ""
    return f"{one.level}: {still}{told}. {', '.join(one.places)}"


def _levels(page: FirstPage, most: int, longest: int) -> Iterator[str]:
    for agreed in page.agreed:
        yield _short(f"AGREED for {agreed.level}: TELL: {agreed.tell}. DO: {agreed.response}")
    lines = []
    for one in page.levels:
        true = f" ({one.remark})" if one.remark else ""
        word = one.state.upper() if one.agreed is not None else one.state
        lines.append(f"{word} {one.level}: {one.place} {one.figure}{true}")
    yield from _list("LEVELS", lines or ["none above, none near"], most, longest)


def _list(title: str, lines: Sequence[str], most: int, longest: int) -> Iterator[str]:
    for place, line in enumerate(lines[:most]):
        head = f"{title}: " if title and place == 0 else "  " if title else ""
        yield head + _short(line, longest)
    if len(lines) > most:
        yield f"  and {len(lines) - most} more"


def _short(line: str, longest: int = _LONGEST) -> str:
    return line if len(line) <= longest else line[: longest - 3] + "..."


def _ascii(line: str) -> str:
    plain = visible(line).replace("\n", " ").translate(_PLAIN)
    return plain.encode("ascii", "backslashreplace").decode("ascii")


_PLAIN = str.maketrans(
    {"±": "+-", "–": "-", "−": "-", "“": '"', "”": '"', "■": "", "▲": "", "○": "", "△": "", "×": "x"}
)
