"""What `book` says of each row: one object for a program, one line for a person.

Every row of the sheet has an answer, in the order of the sheet. Figures are in the route's small unit; `uncertainty`
and `change_uncertainty` are expanded by the route's coverage factor; **negative is closing** in `change`,
`since_baseline` and `rate` (per day).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal
from typing import Any, Literal

from msgspec import Struct

from fieldtui.paper.judging import NOTHING, Judged
from fieldtui.paper.rows import BadRow, Row
from fieldtui.paper.standing import Place
from fieldtui.paper.verdict import as_json as explained
from fieldtui.printable import one_line
from fieldtui.reduction import show_change, show_length, show_u
from fieldtui.route import Route
from fieldtui.survey import OUTCOMES

_CELL, _SENTENCE = 40, 400
Done = Literal["booked", "already booked", "not booked"]


class Answer(Struct, frozen=True):
    """One row's answer."""

    line: int
    survey: str
    time: str
    station: str
    chord: str
    done: Done
    row: Row | None = None
    tape: str = ""
    extensometer: str = ""
    judged: Judged = NOTHING
    place: Place | None = None
    proven: bool | None = None
    """Whether the survey has its dial zero and control frame."""
    remark: str = ""
    warnings: tuple[str, ...] = ()
    """What somebody has to look at, though the row is booked as written."""
    problem: str = ""
    todo: str = ""

    @property
    def level(self) -> str | None:
        """`below`, `cannot tell` or `above`."""
        assessment = self.judged.assessment
        return assessment.level.state if assessment is not None and assessment.level is not None else None

    @property
    def hole_unsure(self) -> bool | None:
        """Whether a hole misread by one could not be told from movement here; None where no chord was judged."""
        verdict = self.judged.verdict
        return verdict.hole_twice if verdict is not None else None

    @property
    def attention(self) -> bool:
        """Whether somebody has to look at this row."""
        over = self.level in ("cannot tell", "above")
        return self.done == "not booked" or self.judged.doubtful or over or self.warnings != ()


def refused(bad: BadRow) -> Answer:
    """The answer to a row that could not be read: everything that is wrong with it."""
    cells = bad.cells
    named = [f"{one.column}: {one.what}".removeprefix(": ").rstrip(".") for one in bad.wrong]
    todo = "; ".join(dict.fromkeys(one.todo.rstrip(".") for one in bad.wrong))
    return Answer(
        bad.line,
        _shown(cells["survey"]),
        _shown(cells["time"]),
        _shown(cells["station"]),
        _shown(cells["chord"]),
        "not booked",
        problem="; ".join(_shown(one, _SENTENCE) for one in named),
        todo=_shown(todo, _SENTENCE),
    )


def _shown(cell: str, most: int = _CELL) -> str:
    """What stands in a row that could not be read: as much of it as tells which, on one line."""
    text = one_line(cell)
    return text if len(text) <= most else f"{text[:most]} …"


def as_json(answer: Answer, route: Route) -> dict[str, Any]:
    """The answer for a program; None where a thing does not apply."""
    judged, k = answer.judged, float(route.coverage_factor)
    assessment, length = judged.assessment, judged.length
    last = assessment.since_last if assessment is not None else None
    start = assessment.since_baseline if assessment is not None else None
    moving = assessment.rate if assessment is not None else None
    return {
        "survey": answer.survey,
        "time": answer.time,
        "station": answer.station or None,
        "chord": answer.chord,
        "units": route.units.small,
        "length": _figure(length.value) if length is not None else None,
        "uncertainty": _figure(k * length.u) if length is not None else None,
        "change": _figure(last.value) if last is not None else None,
        "change_uncertainty": _figure(k * last.u) if last is not None else None,
        "since_baseline": _figure(start.value) if start is not None else None,
        "rate": _figure(moving.value) if moving is not None else None,
        "repeats_agree": judged.repeats.agree if judged.repeats is not None else None,
        "agrees": judged.agrees,
        "explanations": explained(judged.verdict) if judged.verdict is not None else None,
        "level": answer.level,
        "level_name": assessment.level.level if assessment is not None and assessment.level is not None else None,
        "hole_unsure": answer.hole_unsure,
        "line": answer.line,
        "done": answer.done,
        "outcome": answer.row.outcome if answer.row is not None else None,
        "tape": answer.tape or None,
        "extensometer": answer.extensometer or None,
        "doubtful": judged.doubtful if length is not None or judged.doubtful else None,
        "doubt": judged.all_doubt or None,
        "marks": list(judged.marks),
        "proven": answer.proven,
        "log": answer.place.log if answer.place is not None else None,
        "seq": answer.place.seq if answer.place is not None else None,
        "file": answer.place.file if answer.place is not None else None,
        "remark": answer.remark or None,
        "warnings": list(answer.warnings),
        "problem": answer.problem or None,
        "todo": answer.todo or None,
    }


def _figure(value: Decimal | float) -> float:
    """A number for JSON: to a millionth of the small unit, nil without a sign."""
    return round(float(value), 6) + 0.0


COLUMNS = (
    "line",
    "survey",
    "time",
    "station",
    "chord",
    "length",
    "±",
    "since last",
    "±",
    "since start",
    "rate/d",
    "level",
)


def as_cells(answer: Answer, route: Route) -> list[str]:
    """The answer as the cells of a printed line, without what is said in words."""
    judged, units, k = answer.judged, route.units, float(route.coverage_factor)
    assessment, length = judged.assessment, judged.length
    last = assessment.since_last if assessment is not None else None
    start = assessment.since_baseline if assessment is not None else None
    moving = assessment.rate if assessment is not None else None
    return [
        str(answer.line),
        answer.survey,
        answer.time,
        answer.station,
        answer.chord,
        show_length(length.value, units) if length is not None else "",
        show_u(k * length.u, units) if length is not None else "",
        show_change(last.value, units) if last is not None else "",
        show_u(k * last.u, units) if last is not None else "",
        show_change(start.value, units) if start is not None else "",
        show_change(moving.value, units) if moving is not None else "",
        answer.level or "",
    ]


def words(answer: Answer, sheet: str) -> Iterator[str]:
    """What is said of a row beside its figures."""
    if answer.done == "not booked":
        yield f"NOT BOOKED. {sheet}:{answer.line}: {_sentence(answer.problem)}"
        yield f"To do: {_sentence(answer.todo)}"
        return
    if answer.done == "already booked" and answer.place is not None:
        yield f"booked already: {answer.place.file}, record {answer.place.seq}"
    if answer.row is not None and not answer.row.was_read:
        yield f"not read: {OUTCOMES[answer.row.outcome]}"
    if answer.judged.doubtful:
        yield f"DOUBTFUL: {answer.judged.all_doubt}"
    if answer.judged.repeats is not None and answer.judged.repeats.agree is False:
        yield "repeats do not agree"
    yield from (f"WARNING: {told}" for told in answer.warnings)
    if answer.remark:
        yield answer.remark


def _sentence(text: str) -> str:
    return text if text.endswith((".", "?")) else f"{text}."


def table(answers: Sequence[Answer], route: Route, sheet: str) -> Iterator[str]:
    """The answers as a page of text, line by line."""
    rows = [as_cells(answer, route) for answer in answers]
    widths = [max(len(text) for text in column) for column in zip(COLUMNS, *rows, strict=True)]
    yield _row(COLUMNS, widths)
    for answer, cells in zip(answers, rows, strict=True):
        told = list(words(answer, sheet))
        yield (
            f"{_row(cells, widths)}  {'; '.join(told)}".rstrip() if answer.done != "not booked" else _row(cells, widths)
        )
        if answer.done == "not booked":
            yield from (f"      {one}" for one in told)


def _row(cells: Sequence[str], widths: Sequence[int]) -> str:
    texts = COLUMNS.index("chord")
    padded = [
        cell.rjust(width) if place == 0 or texts < place < len(COLUMNS) - 1 else cell.ljust(width)
        for place, (cell, width) in enumerate(zip(cells, widths, strict=True))
    ]
    return "  ".join(padded).rstrip()
