"""What is asked about the job: its name and days, levels, how often, rest, care, plant, faces."""

from __future__ import annotations

from decimal import Decimal

from fieldtui.laying import checks
from fieldtui.laying.asking import Asks, Given, choice, named, numbered, text
from fieldtui.laying.checks import Check
from fieldtui.laying.usual import RATE_HOURS, SHARE_OF_END, WITHIN, usual
from fieldtui.route import SYSTEMS
from fieldtui.survey import clean_text

USUAL, LINES, NONE, OWN = "usual", "lines", "none", "own"


def about(given: Given) -> Asks:
    """Name, units, days."""
    yield text("name", "What is the route called")
    systems = [(one.name, f"{one.name}: {one.small}, {one.large}, {one.degree}") for one in SYSTEMS.values()]
    yield choice("units", "Units", *systems)
    yield text("time_zone", "Time zone, by its IANA name", "Etc/UTC", checks.zone)
    yield text("shift_start", "When the day's first shift begins", "06:00", checks.clock)
    yield text("baseline_sets", "How many sets of readings make the baseline", "1", checks.count)


def faces(given: Given) -> Asks:
    """Advancing ends of the excavation."""
    for place in numbered(given, "face.", ".name"):
        at = f"face.{place}"
        more = "Another face: its name" if place else "An advancing face: its name"
        taken = named(given, "face.", ".name")[:place]
        check = checks.other_than(taken)
        yield text(f"{at}.name", f"{more} (empty: no more)", check=check, optional=True)
        if given[f"{at}.name"]:
            yield choice(
                f"{at}.advances", "It advances towards", ("up", "rising chainage"), ("down", "falling chainage")
            )


def levels(given: Given, taken: list[str]) -> Asks:
    """Trigger levels, mild to severe; each has a figure, a response and people to tell."""
    for place in numbered(given, "level.", ".name"):
        at = f"level.{place}"
        words = "The next level" if place else "The mildest trigger level"
        check = checks.other_than([*taken, *named(given, "level.", ".name")[:place]])
        yield text(f"{at}.name", f"{words}: its name (empty: no more)", check=check, optional=True)
        if not given[f"{at}.name"]:
            return
        small = usual(given["units"]).units.small
        level = given[f"{at}.name"]
        least = {key: _milder(given, key, place) for key in ("closing", "opening", "rate")}
        yield text(f"{at}.closing", f"“{level}” at a closing of, {small}", check=least["closing"], optional=True)
        yield text(f"{at}.opening", f"“{level}” at an opening of, {small}", check=least["opening"], optional=True)
        needed = not (given[f"{at}.closing"] or given[f"{at}.opening"])
        yield text(f"{at}.rate", f"“{level}” at a closing of, {small} a day", check=least["rate"], optional=not needed)
        yield text(f"{at}.response", f"What is done at “{level}”", check=clean_text)
        yield text(f"{at}.tell", "Who is told: roles, with commas", check=checks.people)


def _milder(given: Given, key: str, place: int) -> Check:
    """Not below that figure of a milder level."""
    figures = [given[f"level.{one}.{key}"] for one in range(place) if given[f"level.{one}.{key}"]]
    return checks.at_least(Decimal(figures[-1]), "as of the milder level") if figures else checks.positive


def frequency(given: Given) -> Asks:
    """How often to read: the usual table, line by line or as it is."""
    table = "the usual table, as a start"
    ways = ((USUAL, table), (LINES, f"{table}, line by line"), (NONE, "nothing agreed yet"))
    yield choice("frequency", "How often to read", *ways)
    if given["frequency"] != LINES:
        return
    for place, (within, hours) in enumerate(WITHIN):
        where = f"Within {within} widths of the face" if place < len(WITHIN) - 1 else "Beyond that"
        yield text(f"within.{place}", f"{where}: every how many hours", hours, checks.positive)
    small = usual(given["units"]).units.small
    for place, (rate, hours) in enumerate(zip(usual(given["units"]).rates, RATE_HOURS, strict=True)):
        words = f"Moving faster than {rate} {small} a day: every how many hours"
        yield text(f"rate.{place}", words, hours, checks.positive)


def rest(given: Given) -> Asks:
    """When a chord is called at rest."""
    own = usual(given["units"])
    yield choice("rest", "When is a chord called at rest", (USUAL, "the usual rule, as a start"), (NONE, "no rule yet"))
    if given["rest"] == USUAL:
        words = f"Moving less than, {own.units.small} a day"
        yield text("rest.rate", words, own.rest, checks.positive)
        yield text("rest.share", "and so much of the end value reached, as a share", SHARE_OF_END, checks.share)


def care(given: Given) -> Asks:
    """What is looked after, by the instrument's own instructions."""
    yield choice("care", "What is looked after", (USUAL, "the usual things, as a start"), (OWN, "my own list"))
    if given["care"] == OWN:
        for place in numbered(given, "care.", ".what"):
            check = checks.other_than(named(given, "care.", ".what")[:place])
            yield text(f"care.{place}.what", "What (empty: no more)", check=check, optional=True)
            if given[f"care.{place}.what"]:
                yield text(f"care.{place}.days", "Every how many days", check=checks.count)


def plant(given: Given) -> Asks:
    """What will stand in the section."""
    large = usual(given["units"]).units.large
    for place in numbered(given, "plant.", ".what"):
        at = f"plant.{place}"
        words = "What else will stand" if place else "What will stand"
        yield text(f"{at}.what", f"{words} in the section while chords are read (empty: nothing)", optional=True)
        if not given[f"{at}.what"]:
            return
        side = f"side, {large} from the middle, right positive"
        yield text(f"{at}.left", f"Its left {side}", check=checks.figure)
        yield text(f"{at}.right", f"Its right {side}", check=checks.above(given[f"{at}.left"], "its left side"))
        yield text(f"{at}.top", f"Its top, {large} above the floor", check=checks.positive)
