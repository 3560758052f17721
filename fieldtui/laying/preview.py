"""The plan so far as a `Route`: to draw, to say what it sees, to check before it is written."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

from fieldtui.laying import parts
from fieldtui.laying.asking import Given
from fieldtui.laying.layouts import LAYOUTS, OWN
from fieldtui.laying.questions import groups_of
from fieldtui.laying.section_questions import proposed_places
from fieldtui.laying.writing import added_text, headed, put_behind, route_text
from fieldtui.route import Anchor, Chord, Route, Station, parse_route

PLANNED = "planned"


def whole_text(given: Given, existing: Route | None) -> str:
    """The route file as it would be written now."""
    return put_behind(existing.text, added_text(given)) if existing is not None else route_text(given)


def whole_route(given: Given, existing: Route | None, path: Path) -> Route:
    """The route as it would be read then. `RouteRefused` with all that is wrong with it."""
    files = existing.files if existing is not None else {}
    return parse_route(whole_text(given, existing), files, name=path.name, path=path)


def section_so_far(given: Given) -> Station | None:
    """The section of the group that is being laid; None before it has an anchor."""
    groups = groups_of(given)
    if not groups or f"{groups[-1]}.more" in given:
        return None
    table = parts.section(given, groups[-1], PLANNED, Decimal(0))
    return _station(table) if table["anchor"] else None


def with_layout(given: Given, at: str, layout: str) -> Station:
    """The section of a group with another layout, its anchors where they are proposed."""
    if layout == given[f"{at}.layout"] or layout == OWN:
        return _station(parts.section(given, at, PLANNED, Decimal(0)))
    own = {key: value for key, value in given.items() if not key.startswith(f"{at}.at.")}
    return _station(parts.section({**own, f"{at}.layout": layout}, at, PLANNED, Decimal(0)))


def other_layouts(given: Given, at: str) -> tuple[str, ...]:
    """The layouts that one of this group can be held against."""
    return tuple(one for one in LAYOUTS if one not in (OWN, given[f"{at}.layout"]) and proposed_places(given, at, one))


def instruments(given: Given, existing: Route | None) -> Route:
    """The tapes, extensometers, frame and uncertainties that were answered or are there, as a route."""
    if existing is not None:
        return existing
    nowhere = {"name": PLANNED, "chainage": 0, "closed": True, "note": PLANNED}
    place = {"name": PLANNED, "across": 0, "up": 0}
    text = f"{route_text(given)}\n{headed('[[station]]', {**nowhere, 'anchor': [place]})}"
    return parse_route(text, {}, name=PLANNED)


def _station(table: parts.Table) -> Station:
    anchors = tuple(Anchor(one["name"], one["across"], one["up"]) for one in table["anchor"])
    chords = tuple(Chord(one["from"], one["to"], None, ()) for one in table["chord"])
    return Station(PLANNED, Decimal(0), None, "", False, "", anchors, chords)
