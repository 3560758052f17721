"""What is asked about a group of stations: the tunnel's shape, anchors, chords, where the stations are."""

from __future__ import annotations

from decimal import Decimal

from fieldtui.laying import checks
from fieldtui.laying.asking import Asks, Given, choice, named, numbered, text
from fieldtui.laying.checks import Check
from fieldtui.laying.layouts import CHORDS, LAYOUTS, OWN, Places, proposed
from fieldtui.laying.shapes import KINDS, Outline
from fieldtui.laying.usual import usual
from fieldtui.survey import EntryRefused, clean_text

TAKE, SET = "take", "set"
NOT_STATED = "-"


def group(given: Given, at: str, taken: list[str], faces: list[str]) -> Asks:
    """One group: stations that share a section and a layout. `at` begins its keys, `taken` are names in use."""
    large = usual(given["units"]).units.large
    yield choice(f"{at}.shape", "The tunnel's section", *KINDS.items())
    yield text(f"{at}.width", f"Its width, {large}", check=checks.positive)
    yield text(f"{at}.height", f"From floor to crown, {large}", check=_height(given, at))
    yield choice(f"{at}.layout", "Which anchors and chords", *LAYOUTS.items())
    yield from (_own if given[f"{at}.layout"] == OWN else _proposed)(given, at)
    kinds = (("grouted", "grouted"), ("wedged", "wedged"), ("welded", "welded"), (NOT_STATED, "not stated"))
    yield choice(f"{at}.kind", "How the anchors are set", *kinds)
    yield choice(f"{at}.taken", "This layout", ("yes", "take it and go on"))
    yield from _stations(given, at, taken, faces)


def _proposed(given: Given, at: str) -> Asks:
    ways = ((TAKE, "at these places, as a start"), (SET, "each place by its figures"))
    yield choice(f"{at}.places", "The anchors", *ways)
    if given[f"{at}.places"] == SET:
        for name, (across, up) in proposed_places(given, at).items():
            yield from _place(given, f"{at}.at.{name}", name, str(across), str(up))


def _own(given: Given, at: str) -> Asks:
    for place in numbered(given, f"{at}.anchor.", ".name"):
        here = f"{at}.anchor.{place}"
        known = named(given, f"{at}.anchor.", ".name")[:place]
        words = "The next anchor's name (empty: no more)" if place > 1 else "An anchor's name"
        check = checks.other_than(known, checks.anchor_name)
        yield text(f"{here}.name", words, check=check, optional=place > 1)
        if given[f"{here}.name"]:
            yield from _place(given, here, given[f"{here}.name"])
    anchors = named(given, f"{at}.anchor.", ".name")
    for place in numbered(given, f"{at}.chord.", ""):
        known = [given[f"{at}.chord.{one}"] for one in range(place)]
        if len(known) == len(anchors) * (len(anchors) - 1) // 2:
            return
        words = "The next chord (empty: no more)" if place else "A chord: the hook's end, a dash, the other end"
        yield text(f"{at}.chord.{place}", words, check=checks.chord_between(anchors, known), optional=place > 0)


def _place(given: Given, here: str, name: str, across: str = "", up: str = "") -> Asks:
    large = usual(given["units"]).units.large
    looking = "right positive, looking towards rising chainage"
    yield text(f"{here}.across", f"{name}: {large} from the middle, {looking}", across, checks.figure)
    others = {(x, y) for other, (x, y) in anchors_of(given, here.split(".")[0]).items() if other != name}
    apart = _apart_from(others, Decimal(given[f"{here}.across"]))
    yield text(f"{here}.up", f"{name}: {large} above the floor", up, apart)


def _stations(given: Given, at: str, taken: list[str], faces: list[str]) -> Asks:
    large = usual(given["units"]).units.large
    yield text(f"{at}.first", "The name of the first station with this layout, like S01")
    yield text(f"{at}.chainage", f"Its chainage, {large}", check=checks.chainage(large))
    many = checks.stations_of(taken, given[f"{at}.first"])
    yield text(f"{at}.count", "How many stations with this layout", "1", many)
    if int(given[f"{at}.count"]) > 1:
        apart = f"From one to the next, {large} (negative: chainage falls along the walk)"
        yield text(f"{at}.spacing", apart, check=_not_nil)
    if faces:
        yield choice(f"{at}.face", "Behind which face", *((one, one) for one in faces), (NOT_STATED, "none"))
    caution = "A caution shown on arrival at each (empty: the usual ones only)"
    yield text(f"{at}.caution", caution, check=clean_text, optional=True)


def _height(given: Given, at: str) -> Check:
    """Of a circle its floor lies within it."""
    if given[f"{at}.shape"] != "circle":
        return checks.positive
    within = checks.between(Decimal(0), Decimal(given[f"{at}.width"]), "as the circle is wide")
    return lambda typed: within(checks.positive(typed))


def _not_nil(typed: str) -> str:
    figure = checks.figure(typed)
    if Decimal(figure) == 0:
        raise EntryRefused(f"{figure} will not do: stations stand apart.", todo="Type a figure above or below 0.")
    return figure


def _apart_from(others: set[tuple[Decimal, Decimal]], across: Decimal) -> Check:
    def checked(typed: str) -> str:
        up = checks.figure(typed)
        if (across, Decimal(up)) in others:
            raise EntryRefused("Another anchor is at that very spot.", todo="Type another height, or go back.")
        return up

    return checked


def outline(given: Given, at: str) -> Outline:
    """The section's outline. `KeyError` before it was answered."""
    kind, width, height = given[f"{at}.shape"], float(given[f"{at}.width"]), float(given[f"{at}.height"])
    made = {"arched": Outline.arched, "circle": Outline.circle, "flat": Outline.flat}
    return made[kind](width, height)


def proposed_places(given: Given, at: str, layout: str = "") -> Places:
    """Where a layout's anchors would go."""
    chest = float(usual(given["units"]).chest)
    return proposed(layout or given[f"{at}.layout"], outline(given, at), chest)


def anchors_of(given: Given, at: str) -> Places:
    """The anchors of a group as far as they were answered."""
    layout = given.get(f"{at}.layout")
    if layout is None:
        return {}
    if layout != OWN:
        made = proposed_places(given, at)
        for name, (across, up) in made.items():
            here = f"{at}.at.{name}"
            made[name] = (Decimal(given.get(f"{here}.across", across)), Decimal(given.get(f"{here}.up", up)))
        return made
    made = {}
    for place, name in enumerate(named(given, f"{at}.anchor.", ".name")):
        here = f"{at}.anchor.{place}"
        if f"{here}.up" in given:
            made[name] = (Decimal(given[f"{here}.across"]), Decimal(given[f"{here}.up"]))
    return made


def chords_of(given: Given, at: str) -> list[str]:
    """The chords of a group as far as they were answered."""
    layout = given.get(f"{at}.layout", "")
    return list(CHORDS[layout]) if layout in CHORDS else named(given, f"{at}.chord.", "")


def stations_of(given: Given, at: str) -> list[str]:
    """The names of a group's stations; none before they were counted."""
    many = given.get(f"{at}.count")
    return checks.station_names(given[f"{at}.first"], int(many)) if many is not None else []
