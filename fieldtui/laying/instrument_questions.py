"""What is asked about tapes, extensometers, uncertainties, the control frame and the reach."""

from __future__ import annotations

from decimal import Decimal

from fieldtui.laying import checks
from fieldtui.laying.asking import Asks, Given, choice, named, numbered, text, yes_no
from fieldtui.laying.checks import Check
from fieldtui.laying.usual import Usual, usual
from fieldtui.route.instrument_rules import MOST_EXPANSION


def tapes(given: Given, taken: list[str]) -> Asks:
    """Tapes, one or more; by its own plate and certificate."""
    for place in numbered(given, "tape.", ".serial"):
        at, own = f"tape.{place}", usual(given["units"])
        small, degree = own.units.small, own.units.degree
        check = checks.other_than([*taken, *named(given, "tape.", ".serial")[:place]])
        words = "Another tape: its serial (empty: no more)" if place else "The tape's serial"
        yield text(f"{at}.serial", words, check=check, optional=place > 0)
        if not given[f"{at}.serial"]:
            return
        yield text(f"{at}.pitch", f"Its pitch: from hole to hole, {small}", check=checks.positive)
        yield text(f"{at}.first_hole", "The number of its first hole", "1", checks.from_nought)
        first = f"From the hook's bearing point to that hole, {small}"
        yield text(f"{at}.first_hole_distance", first, given[f"{at}.pitch"], checks.not_negative)
        yield text(f"{at}.holes", "How many holes it has", check=checks.count)
        steel = f"Expansion of its steel, millionths per {degree} (certificate first; surveying steel {own.steel})"
        yield text(f"{at}.expansion", steel, own.steel, _millionths(own))
        known = "Standard uncertainty of that, millionths"
        yield text(f"{at}.expansion_uncertainty", known, own.steel_uncertainty, _millionths(own))
        reference = f"It is true at, {degree}"
        yield text(f"{at}.reference_temperature", reference, own.reference_temperature, _degrees(own))
        until = "Its certificate runs until, like 2031-01-31 (empty: none)"
        yield text(f"{at}.certificate_until", until, check=checks.day, optional=True)


def extensometers(given: Given, taken: list[str], pitches: list[Decimal]) -> Asks:
    """Extensometers, one or more; a dial shorter than one of these pitches could not read every length."""
    travel = max(pitches)
    for place in numbered(given, "extensometer.", ".serial"):
        at, own = f"extensometer.{place}", usual(given["units"])
        small = own.units.small
        check = checks.other_than([*taken, *named(given, "extensometer.", ".serial")[:place]])
        words = "Another extensometer: its serial (empty: no more)" if place else "The extensometer's serial"
        yield text(f"{at}.serial", words, check=check, optional=place > 0)
        if not given[f"{at}.serial"]:
            return
        yield text(f"{at}.dial_serial", "The serial of its dial")
        yield text(f"{at}.low", f"The dial's lowest reading, {small}", "0", checks.figure)
        highest = checks.at_least(Decimal(given[f"{at}.low"]) + travel, "so that no length falls between two holes")
        yield text(f"{at}.high", f"The dial's highest reading, {small}", own.dial_high, highest)
        yield text(f"{at}.resolution", f"The dial's last digit, {small}", own.resolution, _finer_than(travel))
        ways = (("adds", "adds to the hole distance"), ("subtracts", "is taken off the hole distance"))
        yield choice(f"{at}.dial", "The dial", *ways)
        repeat = f"Standard deviation of one re-tensioned repeat, {small}"
        yield text(f"{at}.repeatability", repeat, own.repeatability, checks.positive)


def uncertainties(given: Given) -> Asks:
    """Standard uncertainties, until the job has measured its own."""
    own = usual(given["units"])
    small, degree, check = own.units.small, own.units.degree, checks.not_negative
    of = "Standard uncertainty of"
    yield text("uncertainty.temperature", f"{of} a tape temperature, {degree}", own.temperature, check)
    between = "between surveys (tension, seating, observer)"
    yield text("uncertainty.reproducibility", f"{of} a length {between}, {small}", own.reproducibility, check)
    yield text("uncertainty.hole", f"{of} the place of one punched hole, {small}", own.hole, check)


def frame(given: Given) -> Asks:
    """The control frame that proves the instrument, and how often the dial zero is checked."""
    own = usual(given["units"])
    small = own.units.small
    yield text("frame.name", "The control frame: where it is, or its name (empty: there is none)", optional=True)
    if given["frame.name"]:
        yield text("frame.length", f"Its length, roughly, {small}", check=checks.positive)
        limit = f"A change that puts the survey in doubt, {small}"
        yield text("frame.limit", limit, own.frame_limit, checks.positive)
        yield yes_no("frame.correct", "Is its change taken off every length", "yes", "no: it proves the survey only")
        steady = f"Its own expansion, millionths per {own.units.degree} (0 where its temperature is steady)"
        yield text("frame.expansion", steady, own.steel, _millionths(own))
        true = f"Its length counts at, {own.units.degree}"
        yield text("frame.reference_temperature", true, own.reference_temperature, _degrees(own))
    zero = "The dial zero is checked every how many stations (empty: not on the way)"
    yield text("zero_check_every", zero, check=checks.count, optional=True)


def reach(given: Given) -> Asks:
    """What can be hooked without a platform."""
    own = usual(given["units"])
    large = own.units.large
    yield text("standing_reach", f"How high one reaches from the floor, {large}", own.standing_reach, checks.positive)
    yield text("pole", f"The pole's length, {large} (0: none)", own.pole, checks.not_negative)


def _millionths(own: Usual) -> Check:
    return checks.between(Decimal(0), MOST_EXPANSION[own.units.degree] * 10**6, "as of steel")


def _degrees(own: Usual) -> Check:
    lowest, highest = own.units.temperature_range
    return checks.between(Decimal(lowest), Decimal(highest), own.units.degree)


def _finer_than(travel: Decimal) -> Check:
    """A step that is nowhere near the travel of the dial."""

    def checked(typed: str) -> str:
        return checks.between(Decimal(0), travel / 10, "the smallest step that the dial shows")(checks.positive(typed))

    return checked
