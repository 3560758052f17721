"""Every question in its order: of a new route, or of what is added to one that is there.

questions(given, existing) ──► Ask, Ask …      next_ask(given, existing) ──► the first that is not answered
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from fieldtui.job.asking import Ask
from fieldtui.laying import instrument_questions as instrument
from fieldtui.laying import job_questions as job
from fieldtui.laying.asking import YES, Asks, Given, choice, named, yes_no
from fieldtui.laying.section_questions import group, stations_of
from fieldtui.route import Route

ADDED = (
    ("group", "stations"),
    ("tape", "a tape"),
    ("extensometer", "an extensometer"),
    ("level", "trigger levels"),
    ("plant", "what stands in the section"),
)
PARTS = {
    "name": "the job", "units": "the job", "time_zone": "the job", "shift_start": "the job", "baseline_sets": "the job",
    "tape": "tapes", "extensometer": "extensometers", "uncertainty": "uncertainties", "frame": "control frame",
    "zero_check_every": "control frame", "standing_reach": "reach", "pole": "reach", "face": "faces",
    "group": "sections and stations", "plant": "plant", "level": "trigger levels", "frequency": "how often",
    "within": "how often", "rate": "how often", "rest": "rest", "care": "care", "add": "what to add",
}  # fmt: skip


def questions(given: Given, existing: Route | None = None) -> Asks:
    """All questions that these answers lead to. What follows a question may look at its answer."""
    if existing is not None:
        yield from _added(given, existing)
        return
    yield from job.about(given)
    yield from instrument.tapes(given, [])
    yield from instrument.extensometers(given, [], [Decimal(one) for one in named(given, "tape.", ".pitch")])
    yield from instrument.uncertainties(given)
    yield from instrument.frame(given)
    yield from instrument.reach(given)
    yield from job.faces(given)
    yield from _groups(given, [], named(given, "face.", ".name"))
    yield from job.plant(given)
    yield from job.levels(given, [])
    yield from job.frequency(given)
    yield from job.rest(given)
    yield from job.care(given)


def next_ask(given: Given, existing: Route | None = None) -> Ask | None:
    """The first question that is not answered; None at the end."""
    return next((ask for ask in questions(given, existing) if ask.key not in given), None)


def answered(given: Given, existing: Route | None = None) -> Iterator[tuple[Ask, str]]:
    """The questions that were answered, in order, with their answers."""
    for ask in questions(given, existing):
        if ask.key not in given:
            return
        yield ask, given[ask.key]


def part_of(key: str) -> str:
    """Which part of the plan a question belongs to, in words."""
    return PARTS[key.split(".", 1)[0].rstrip("0123456789")]


def groups_of(given: Given) -> list[str]:
    """How the keys of each group of stations begin."""
    found: list[str] = []
    while f"group{len(found)}.shape" in given:
        found.append(f"group{len(found)}")
    return found


def _groups(given: Given, taken: list[str], faces: list[str]) -> Asks:
    names, place = list(taken), 0
    while True:
        at = f"group{place}"
        yield from group(given, at, names, faces)
        names += stations_of(given, at)
        yield yes_no(f"{at}.more", "Stations with another section or layout", "yes, more stations", "no, that is all")
        if given[f"{at}.more"] != YES:
            return
        place += 1


def _added(given: Given, existing: Route) -> Asks:
    yield choice("add", "What is added at the end of the file", *ADDED)
    what = given["add"]
    if what == "group":
        yield from _groups(given, [one.name for one in existing.stations], [one.name for one in existing.faces])
    elif what == "tape":
        yield from instrument.tapes(given, [one.serial for one in existing.tapes])
    elif what == "extensometer":
        yield from instrument.extensometers(
            given, [one.serial for one in existing.extensometers], [one.pitch for one in existing.tapes]
        )
    elif what == "level":
        yield from job.levels(given, [one.name for one in existing.levels])
    else:
        yield from job.plant(given)
