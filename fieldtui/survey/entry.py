"""Whether what was typed can be booked at a prompt: refused with words, or taken as typed."""

from __future__ import annotations

from decimal import Decimal

from fieldtui.printable import one_line
from fieldtui.route import Extensometer, Route, Tape
from fieldtui.survey.state import State
from fieldtui.survey.step import Step
from fieldtui.survey.target import HOLES, Target
from fieldtui.survey.typed import EntryRefused, hole_read, number

LONGEST_TEXT = 200


def instruments(route: Route, state: State, target: Target | None) -> tuple[Tape | None, Extensometer | None]:
    """The tape and extensometer of a booking: those it was begun with, else those in use now."""
    booking = state.bookings.get(target) if target is not None else None
    tape = booking.tape if booking is not None else state.answer("tape")
    extensometer = booking.extensometer if booking is not None else state.answer("extensometer")
    return route.tape(tape or ""), route.extensometer(extensometer or "")


def choices(route: Route, what: str) -> tuple[str, ...]:
    """The answers a question allows, or none where any text will do."""
    if what == "tape":
        return tuple(tape.serial for tape in route.tapes)
    if what == "extensometer":
        return tuple(one.serial for one in route.extensometers)
    if what == "cautions":
        return ("seen",)
    return ()


def check_answer(route: Route, step: Step, typed: str) -> str:
    """The answer to a question as it will be booked. `EntryRefused` says why it cannot be.

    Where there are choices, the number of one in the list is the same as its name.
    """
    text = clean_text(typed)
    options = choices(route, step.what)
    if options:
        return _chosen(options, text, step.what)
    if not text and not step.optional:
        raise EntryRefused("This cannot stay empty.", todo="Type it and press Enter.")
    if step.what.startswith("face ") and text:
        number(text)
    return text


def check_figure(route: Route, state: State, target: Target, slot: str, typed: str, *, optional: bool = False) -> None:
    """Nothing, if the figure can be booked in that slot. `EntryRefused` says why it cannot be."""
    if not optional or typed.strip():
        check_reading(route, *instruments(route, state, target), slot, typed)


def check_reading(route: Route, tape: Tape | None, extensometer: Extensometer | None, slot: str, typed: str) -> None:
    """Nothing, if a figure can have been read in that slot with these. `EntryRefused` says why it cannot be."""
    if slot in HOLES:
        _check_hole(tape, hole_read(typed))
    elif slot == "temperature":
        _check_temperature(route, number(typed))
    else:
        _check_dial(route, extensometer, number(typed))


def unit_of(route: Route, slot: str) -> str:
    """The unit that a figure is booked in: the route's small one, its degree, or none for the number of a hole."""
    if slot in HOLES:
        return ""
    return route.units.degree if slot == "temperature" else route.units.small


def clean_text(typed: str) -> str:
    """Text as it will be booked: one line without control characters. `EntryRefused` if it is too long."""
    text = one_line(typed)
    if len(text) > LONGEST_TEXT:
        raise EntryRefused(f"{len(text)} characters are too many; {LONGEST_TEXT} fit.", todo="Make it shorter.")
    return text


def _chosen(options: tuple[str, ...], text: str, what: str) -> str:
    if not text and len(options) == 1:
        return options[0]
    if text in options:
        return text
    if text.isascii() and text.isdigit() and 1 <= int(text) <= len(options):
        return options[int(text) - 1]
    listed = ", ".join(f"{place} for {option}" for place, option in enumerate(options, 1))
    raise EntryRefused(f"“{text}” is not one of the {what} choices." if text else "Choose one.", todo=f"Type {listed}.")


def _check_hole(tape: Tape | None, hole: int) -> None:
    if tape is None:
        raise EntryRefused("The tape in use is not in the route file.", todo="Choose the tape first.")
    if tape.has_hole(hole):
        return
    if tape.table is not None and tape.first_hole <= hole <= tape.last_hole:
        raise EntryRefused(
            f"Hole {hole} is not in the calibration table of tape {tape.serial}.", todo="Read the hole again."
        )
    raise EntryRefused(
        f"Tape {tape.serial} has holes {tape.first_hole} to {tape.last_hole}; there is no hole {hole}.",
        todo="Read the hole again.",
    )


def _check_dial(route: Route, extensometer: Extensometer | None, reading: Decimal) -> None:
    if extensometer is None:
        raise EntryRefused("The extensometer in use is not in the route file.", todo="Choose it first.")
    low, high = extensometer.dial_range
    if not low <= reading <= high:
        raise EntryRefused(
            f"The dial reads {low} to {high} {route.units.small}; {reading} cannot be.", todo="Read the dial again."
        )


def _check_temperature(route: Route, reading: Decimal) -> None:
    low, high = route.units.temperature_range
    if low <= reading <= high:
        return
    other = "degF" if route.units.degree == "degC" else "degC"
    raise EntryRefused(
        f"A tape at {reading} {route.units.degree} cannot be; {low} to {high} are taken.",
        todo=f"Read it again, in {route.units.degree} (not {other}).",
    )
