"""The form that strikes out an entry of a closed survey, or a declaration of the journal: both stay to be seen."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from fieldtui.job.asking import Answers, Ask, Form
from fieldtui.job.forms_declared import declared, taken_back_with
from fieldtui.job.job import Job
from fieldtui.job.striking import Strikable, strikable, strike_data
from fieldtui.job.telling import local_time
from fieldtui.survey import EntryRefused, Place
from fieldtui.survey import words as say

_JOURNAL = "journal"
_OF_ALL = "what was said of the whole survey, and who was told"
_WHOLE = "the whole survey: every reading in it"


def _asks(job: Job, answers: Answers) -> Iterator[Ask]:
    # a survey that is still open may be walked on in another program, which would not see the strike
    closed = [one for one in reversed(job.surveys) if one.state.closed]
    surveys = [(one.id, f"{job.labels[one.id]}, {local_time(job.route, one.started)}") for one in closed]
    still_open = len(closed) < len(job.surveys)
    where = " (one that is still open: strike it out in the walk, or close it first)" if still_open else ""
    yield Ask("survey", f"Of which survey{where}", (*surveys, (_JOURNAL, "something written into the journal")))
    if answers.get("survey") == _JOURNAL:
        yield Ask("entry", "Which declaration", tuple(declared(job)) or (("", "the journal is empty"),))
    else:
        entries = _entries(job, answers.get("survey", ""))
        groups = dict.fromkeys([*(_group(one) for one in entries), *([_WHOLE] if _readings(entries) else [])])
        yield Ask("of", "What it belongs to", tuple((group, group) for group in groups) or (("", "nothing is booked"),))
        if answers.get("of") == _WHOLE:
            yield Ask("reason", "Why it is struck out")
            return
        listed = [(_place(one.entry.place), _words(one)) for one in entries if _group(one) == answers.get("of")]
        yield Ask("entry", "Which entry", tuple(listed) or (("", "nothing is booked"),))
        chosen = next((one for one in entries if _place(one.entry.place) == answers.get("entry")), None)
        if chosen is not None and chosen.replaceable:
            yield Ask("typed", "What is right (empty: nothing stands instead)", optional=True)
    yield Ask("reason", "Why it is struck out")


def _data(job: Job, answers: Answers) -> dict[str, Any]:
    if not answers["entry"]:
        raise EntryRefused("There is nothing to be struck out.")
    log, _, seq = answers["entry"].partition(":")
    if answers["survey"] == _JOURNAL:
        return {"log": log, "seq": int(seq), "reason": answers["reason"]}
    survey = job.survey(answers["survey"])
    if survey is None:
        raise EntryRefused("This survey is not there any more.")
    right, place = answers.get("typed") or None, (log, int(seq))
    data = strike_data(survey.route, survey.state, place, answers["reason"], answers["by"], right)
    return {**data, **_set_right_before(job, place)}


def _set_right_before(job: Job, place: Place) -> dict[str, Any]:
    """Of a figure that a journal has set right: the entry that was struck first, and all that was said of it so far.

    To name the journal's record would take that declaration back, and the first figure would stand again.
    """
    first = next((one.place for one in job.settled.counting if one.written.place == place), None)
    if first is None:
        return {}
    said = [one.written.place for one in job.journals.amendments if one.place == first]
    return {"log": first[0], "seq": first[1], "settles": [{"log": log, "seq": seq} for log, seq in said]}


def _several(job: Job, answers: Answers) -> list[dict[str, Any]]:
    """One strike, or one for each reading of a survey or declaration of a sitting that should not have been made."""
    if answers.get("of") == _WHOLE:
        entries = [_place(one.entry.place) for one in _readings(_entries(job, answers["survey"]))]
    elif answers["survey"] == _JOURNAL:
        entries = taken_back_with(job, answers["entry"])
    else:
        entries = [answers["entry"]]
    return [_data(job, {**answers, "entry": one}) for one in entries]


def _readings(entries: Iterable[Strikable]) -> list[Strikable]:
    """What takes every reading out of a survey: what ended it, of a dial zero its figure, and earlier lengths."""
    return [one for one in entries if one.what in ("accepted", "unread", "zero", "length")]


STRIKE = Form("struck", "strike out an entry of a closed survey, or a declaration", _asks, _data, _several)


def _entries(job: Job, survey: str) -> list[Strikable]:
    found = job.survey(survey)
    return list(strikable(found.state)) if found is not None else []


def _group(one: Strikable) -> str:
    return say.place(one.target) if one.target is not None else _OF_ALL


def _words(one: Strikable) -> str:
    if one.told:
        return one.told
    what = say.SLOTS.get(one.what, one.what) if one.target is not None else say.short_question(one.what)
    return f"{what}: {one.entry.typed}" if one.entry.typed else what


def _place(place: Place) -> str:
    return f"{place[0]}:{place[1]}"
