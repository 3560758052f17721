"""What prompts are called, in one place for the screen, the line-by-line walk and the sheets."""

from __future__ import annotations

from fieldtui.route import Route, Station
from fieldtui.survey.state import State
from fieldtui.survey.step import Step
from fieldtui.survey.target import HOLES, OUTCOMES, Target

SLOTS = {
    "hole": "hole",
    "hole_again": "hole again",
    "dial_1": "dial 1",
    "dial_2": "dial 2",
    "dial_3": "dial 3",
    "dial_4": "dial 4",
    "dial_5": "dial 5",
    "temperature": "tape temp",
    "zero": "dial zero",
}

CAUTIONS = (
    "Not ahead of installed support, not under unscaled ground.",
    "Leave if the ground works or cracks grow.",
    "High anchors: platform and fall protection.",
    "Traffic stopped or a spotter; gas tested; two people.",
    "Gloves and eyes protected: a tensioned tape can whip.",
    "Slacken before you walk away.",
    "Tape clear of live conductors and turning plant.",
    "Local codes, site rules and the responsible engineer come first.",
)
"""Usual cautions (common practice), shown before every survey."""

REASONS_TO_KEEP = (
    "read again, and it says the same",
    "the movement could be seen or heard",
    "there was no way to read it again",
)
"""Why a reading that does not agree is kept, so that the number pad alone is enough."""

MEANS = ("by radio", "by telephone", "in person", "in writing")
"""By what means somebody is told of a level."""

_QUESTIONS = {
    "reader": "Who reads (name or initials)",
    "recorder": "Who records (empty: the reader)",
    "tape": "Tape in use, by its serial",
    "extensometer": "Extensometer in use, by its serial",
    "stage": "Stage of construction (empty: not stated)",
    "cautions": "Cautions read",
}
_SHORT = {"reader": "reader", "recorder": "recorder", "stage": "stage", "cautions": "cautions"}


def question(route: Route, what: str) -> str:
    """The question for a `say` step."""
    if what.startswith("face "):
        return f"Chainage of {what} in {route.units.large} (empty: not known)"
    return _QUESTIONS[what]


def short_question(what: str) -> str:
    """What a question is called in a list of answers."""
    return _SHORT.get(what, what)


def slot(route: Route, name: str) -> str:
    """What a slot is called, with its unit."""
    if name in HOLES:
        return SLOTS[name]
    return f"{SLOTS[name]} {route.units.degree if name == 'temperature' else route.units.small}"


def place(target: Target) -> str:
    """What a booking is of, in a few words."""
    again = f", reading {target.reading}" if target.reading > 1 else ""
    if target.is_chord:
        return f"{target.station} {target.chord}{again}"
    when = {"start": "at the start", "end": "at the end", "between": "between"}[target.part]
    return f"{'control frame' if target.is_frame else 'dial zero'} {when}{again}"


def platform_needed(route: Route, station: Station) -> str:
    """Which anchors are not reached from the floor; empty where all are, or the route states no reach."""
    high = [anchor.name for anchor in station.anchors if route.reach is not None and anchor.up > route.reach]
    return f"platform needed for {', '.join(high)}" if high else ""


def outcome(name: str) -> str:
    """A booked outcome in words."""
    return {"read": "read", "kept": "read, kept as booked"}.get(name) or f"not read: {OUTCOMES.get(name, name)}"


def begun(state: State, target: Target) -> str:
    """What is said behind a chord of which figures are booked and were never accepted; else nothing."""
    return ": begun, not accepted" if any(one.slots for one in state.readings(target.key)) else ""


def prompt(route: Route, step: Step) -> str:
    """The prompt of a step in one line."""
    if step.kind == "say":
        asked = question(route, step.what)
        return f"{asked}: lost; also of {step.lost_before} booked before" if step.lost_before else asked
    if step.kind == "arrive":
        return f"At station {step.what}"
    if step.kind == "figure" and step.target is not None:
        return f"{place(step.target)}: {slot(route, step.what)}"
    if step.kind == "result" and step.target is not None:
        return f"{place(step.target)}: all figures are in"
    return "End of the survey" if step.kind == "end" else "The survey is closed"


def planned(count: int, then: str, several: str = "") -> str:
    """So many planned chords, and what is said of them: of one, and where it differs of several."""
    return f"{count} planned chord {then}" if count == 1 else f"{count} planned chords {several or then}"
