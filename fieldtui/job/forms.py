"""The declarations that a person can write into the journal between surveys, as forms.

Each names its questions and makes the record that `journal` reads back. What a record must hold is in `shapes`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial
from typing import Any

from fieldtui.job.asking import A_TIME, WHEN, Answers, Ask, Form, moment, moment_told, named
from fieldtui.job.forms_call import CALL
from fieldtui.job.forms_strike import STRIKE
from fieldtui.job.job import Job
from fieldtui.job.route_values import READERS, wrong_value
from fieldtui.route import Route
from fieldtui.survey import EntryRefused

ALL = ""
_LONG = frozenset({"table", "dial_range", "correct", "kind", "dial"})
"""Figures that are no single number: a route file says them."""


def _at(job: Job, key: str = "at", text: str = WHEN, *, optional: bool = False) -> Ask:
    return Ask(key, text, check=partial(moment, job), optional=optional, told=partial(moment_told, job))


def _note() -> Ask:
    return Ask("note", "Remark (empty: none)", optional=True)


def _reason() -> Ask:
    return Ask("reason", "Why")


def _stations(job: Job) -> tuple[tuple[str, str], ...]:
    return named([station.name for station in job.route.stations])


def _given(answers: Answers, *keys: str) -> dict[str, Any]:
    """The answers to these questions that are not empty."""
    return {key: answers[key] for key in keys if answers.get(key)}


# -- anchors, chords, stations ------------------------------------------------------------------------------------


def _anchor(job: Job, answers: Answers) -> Iterator[Ask]:
    yield Ask("station", "Station", _stations(job))
    station = job.route.station(answers.get("station", ""))
    yield Ask("anchor", "Anchor", named([anchor.name for anchor in station.anchors] if station else []))
    struck = ("struck", "struck or loose: read on with doubt")
    yield Ask("event", "What became of it", (struck, ("lost", "lost"), ("replaced", "replaced by a new one")))
    yield _at(job)
    yield _note()


def _chord(job: Job, answers: Answers) -> Iterator[Ask]:
    there = [(station.name, chord.name) for station in job.route.stations for chord in station.chords]
    before = [question.chord for question in job.questions() if question.chord is not None]
    last = [(s.name, c.name) for survey in job.counting[-1:] for s in survey.route.stations for c in s.chords]
    every = dict.fromkeys([*there, *last, *before])
    yield Ask("chord", "Chord", named([f"{station} {chord}" for station, chord in every]))
    events = (("retired", "retired: not read any more"), ("added", "added: read from then on"))
    yield Ask("event", "What became of it", events)
    yield _at(job)
    yield _note()


def _chord_data(job: Job, answers: Answers) -> dict[str, Any]:
    station, _, chord = answers["chord"].rpartition(" ")
    return {"station": station, "chord": chord, **_given(answers, "event", "at", "note")}


def _renamed(job: Job, answers: Answers) -> Iterator[Ask]:
    now = {station.name for station in job.route.stations}
    old = dict.fromkeys(s.name for survey in job.counting for s in survey.route.stations if s.name not in now)
    yield Ask("old", "Its name before", named(list(old)) or (("", "no station of an earlier survey is missing now"),))
    beside = _beside(job, answers.get("old", ""))
    new = [station.name for station in job.route.stations if station.name not in beside]
    yield Ask("new", "Its name now", named(new) or (("", "no station of the route can be it"),))
    yield _at(job, text=f"Since when ({A_TIME})")


def _beside(job: Job, old: str) -> set[str]:
    """Stations that stood in one route with the old one: they are other stations."""
    routes = {id(survey.route): {s.name for s in survey.route.stations} for survey in job.counting}
    return {name for stations in routes.values() if old in stations for name in stations}


def _renamed_data(job: Job, answers: Answers) -> dict[str, Any]:
    if not answers["old"]:
        raise EntryRefused("There is no old name.", todo="Rename the station in the route file first.")
    if not answers["new"]:
        raise EntryRefused(
            "Every station of the route stood in one survey with it.",
            todo="Give the station its new name in the route file first.",
        )
    return _given(answers, "old", "new", "at")


def _baseline(job: Job, answers: Answers) -> Iterator[Ask]:
    yield Ask("name", "What the baseline is called, as “after the bench”")
    yield Ask("station", "Where", ((ALL, "all stations"), *_stations(job)))
    yield _at(job, "since", f"From the first readings at or after ({A_TIME})")
    carried = ("carried", "carried on; the movement since is shown besides")
    yield Ask("movement", "Movement is", (carried, ("restarted", "counted from nil again")))
    yield _reason()


def _baseline_data(job: Job, answers: Answers) -> dict[str, Any]:
    where = {"stations": [answers["station"]]} if answers["station"] else {}
    return {**_given(answers, "name", "since", "movement", "reason"), **where}


# -- the instrument and figures of the route ----------------------------------------------------------------------


def _things(route: Route) -> dict[str, list[str]]:
    """Table -> names of what the route has in it; an anchor's name is its station's and its own."""
    return {
        "tape": [tape.serial for tape in route.tapes],
        "extensometer": [one.serial for one in route.extensometers],
        "control": [control.name for control in route.controls],
        "anchor": [f"{station.name} {anchor.name}" for station in route.stations for anchor in station.anchors],
        "uncertainty": ["route"],
    }


def _thing(job: Job, tables: tuple[str, ...]) -> Ask:
    things = _things(job.route)
    options = [(f"{table} {name}", f"{table} {name}") for table in tables for name in things[table]]
    return Ask("thing", "Of what", tuple(options))


def _thing_data(answers: Answers) -> dict[str, Any]:
    table, _, name = answers["thing"].partition(" ")
    if table != "anchor":
        return {"table": table, "name": name, "part": ""}
    station, _, anchor = name.rpartition(" ")
    return {"table": table, "name": station, "part": anchor}


def _keys(answers: Answers) -> list[str]:
    table = answers.get("thing", "").partition(" ")[0]
    return [key for key in READERS.get(table, {}) if key not in _LONG]


def _value(job: Job, answers: Answers, key: str, asked: str) -> Ask:
    table = answers.get("thing", "").partition(" ")[0]

    def checked(typed: str) -> str:
        wrong = wrong_value(table, key, typed.strip())
        if wrong:
            how = {"certificate_until": "Type the day alone.", "dial_serial": "Type the number of the dial."}
            raise EntryRefused(
                f"{wrong[0].upper()}{wrong[1:]}.", todo=how.get(key, "Type the figure alone, with a decimal point.")
            )
        return typed.strip()

    return Ask(asked, f"{key} is, {_unit(job.route, table, key)}", check=checked)


def _unit(route: Route, table: str, key: str) -> str:
    """What a figure of the route is counted in, or how it is written, in words."""
    units = route.units
    if key in ("expansion", "expansion_uncertainty"):
        return f"per {units.degree} (as 0.0000116)"
    if key in ("reference_temperature", "temperature"):
        return f"in {units.degree}"
    if key == "certificate_until":
        return "its last day (as 2032-05-04)"
    if key == "dial_serial":
        return "as it stands on the dial"
    if key in ("first_hole", "holes"):
        return "a whole number"
    return f"in {units.large if table == 'anchor' else units.small}"


def _range(job: Job) -> Iterator[Ask]:
    yield _at(
        job, "since", "Right for readings from (empty: all; a date only if the thing itself changed)", optional=True
    )
    yield _at(job, "until", "and before (empty: from there on)", optional=True)


def _correction(job: Job, answers: Answers) -> Iterator[Ask]:
    yield _thing(job, tuple(READERS))
    yield Ask("key", "Which figure was wrong", named(_keys(answers)))
    yield _value(job, answers, answers.get("key", ""), "value")
    yield from _range(job)
    yield _reason()


def _correction_data(job: Job, answers: Answers) -> dict[str, Any]:
    return {**_thing_data(answers), **_given(answers, "key", "value", "since", "until", "reason")}


def _certificate(job: Job, answers: Answers) -> Iterator[Ask]:
    yield _thing(job, ("tape", "extensometer", "control"))
    yield Ask("reference", "Number of the certificate")
    keys = _keys(answers)
    for number in range(1, len(keys) + 1):
        left = [key for key in keys if key not in {answers.get(f"key{one}") for one in range(1, number)}]
        none = (("", "no further figure"),) if number > 1 else ()
        yield Ask(f"key{number}", "A figure that it gives", (*none, *named(left)))
        if not answers.get(f"key{number}"):
            break
        yield _value(job, answers, answers[f"key{number}"], f"value{number}")
    yield from _range(job)
    yield _reason()


def _certificate_data(job: Job, answers: Answers) -> dict[str, Any]:
    numbers = [key[len("key") :] for key, figure in answers.items() if key.startswith("key") and figure]
    values = {answers[f"key{number}"]: answers[f"value{number}"] for number in numbers}
    return {**_thing_data(answers), "values": values, **_given(answers, "reference", "since", "until", "reason")}


def _care(job: Job, answers: Answers) -> Iterator[Ask]:
    listed = named([care.what for care in job.route.care])
    yield (
        Ask("what", "What was done", (*listed, ("other", "something else, in words")))
        if listed
        else Ask("words", "What was done")
    )
    if answers.get("what") == "other":
        yield Ask("words", "What was done, in words")
    yield _at(job)
    yield _note()


def _care_data(job: Job, answers: Answers) -> dict[str, Any]:
    return {"what": answers.get("words") or answers["what"], **_given(answers, "at", "note")}


# -- what happened, who was told ----------------------------------------------------------------------------------


def _construction(job: Job, answers: Answers) -> Iterator[Ask]:
    yield Ask("event", "What", (("blast", "a blast"), ("bench", "the bench was taken"), ("other", "another, in words")))
    if answers.get("event") == "other":
        yield Ask("words", "What, in words")
    yield Ask("station", "Where", ((ALL, "along the whole route"), *_stations(job)))
    yield _at(job)
    yield _note()


def _construction_data(job: Job, answers: Answers) -> dict[str, Any]:
    return {"event": answers.get("words") or answers["event"], **_given(answers, "station", "at", "note")}


def _remark(job: Job, answers: Answers) -> Iterator[Ask]:
    yield Ask("text", "Remark")


def _plain(*keys: str) -> Callable[[Job, Answers], dict[str, Any]]:
    """The record of a form whose answers to these questions are its data as they are."""
    return lambda job, answers: _given(answers, *keys)


RENAMED = Form("renamed", "a station that has another name now", _renamed, _renamed_data)
FORMS = (
    CALL,
    STRIKE,
    Form("anchor", "an anchor struck, lost or replaced", _anchor, _plain("station", "anchor", "event", "at", "note")),
    Form("chord", "a chord retired or added", _chord, _chord_data),
    RENAMED,
    Form("baseline", "a new baseline, as after the bench", _baseline, _baseline_data),
    Form("certificate", "a calibration certificate", _certificate, _certificate_data),
    Form("correction", "a figure of the route that was wrong", _correction, _correction_data),
    Form("care", "care of the instrument", _care, _care_data),
    Form("construction", "an event of construction", _construction, _construction_data),
    Form("note", "a remark", _remark, _plain("text")),
)
"""In the order of the list on the screen."""
