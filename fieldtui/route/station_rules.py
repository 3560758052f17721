"""Rules for stations: anchors that can be told apart, chords between anchors that are there, each chord once."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from fieldtui.route.draft import ChordDraft, RouteDraft, StationDraft
from fieldtui.route.problem import KeyPath, Mistake


def station_mistakes(draft: RouteDraft, told: frozenset[KeyPath]) -> Iterator[Mistake]:
    """Mistakes in stations, anchors and chords."""
    faces = [face.name for face in draft.face if face.name is not None]
    for place, station in enumerate(draft.station):
        at: KeyPath = ("station", place)
        if at in told:
            continue
        yield from _station(at, station, faces, told)
        yield from _anchors(at, station)
        yield from _chords(at, station)


def _station(at: KeyPath, station: StationDraft, faces: list[str], told: frozenset[KeyPath]) -> Iterator[Mistake]:
    if station.face is not None and station.face not in faces:
        todo = f"name one of {', '.join(faces)}" if faces else "describe it under [[face]]"
        yield Mistake((*at, "face"), f'there is no face "{station.face}" in this route', todo)
    if station.closed and not station.note and (*at, "note") not in told:
        yield Mistake((*at, "closed"), "is true without a reason", 'give the reason in note = "…"')
    if not station.anchor and (*at, "anchor") not in told:
        yield Mistake(at, "has no anchors", "describe them under [[station.anchor]]")
    chords_told = (*at, "chord") in told or (*at, "closed") in told
    if not station.chord and not station.closed and not chords_told:
        todo = "describe them under [[station.chord]], or close the station with a reason"
        yield Mistake(at, "has no chords", todo)


def _anchors(at: KeyPath, station: StationDraft) -> Iterator[Mistake]:
    spots: dict[tuple[Decimal, Decimal], str] = {}
    for place, anchor in enumerate(station.anchor):
        here: KeyPath = (*at, "anchor", place)
        if anchor.name is not None and "-" in anchor.name:
            what = f'has a "-" in "{anchor.name}", which stands between the two anchors of a chord'
            yield Mistake((*here, "name"), what, "name the anchor without it")
        if anchor.across is None or anchor.up is None:
            continue
        spot = (anchor.across, anchor.up)
        if spot in spots:
            what = f'is at the very spot of anchor "{spots[spot]}"'
            yield Mistake(here, what, "correct across or up of one of the two")
        spots.setdefault(spot, anchor.name or "?")


def _chords(at: KeyPath, station: StationDraft) -> Iterator[Mistake]:
    anchors = [anchor.name for anchor in station.anchor if anchor.name is not None]
    seen: dict[frozenset[str], int] = {}
    for place, chord in enumerate(station.chord):
        here: KeyPath = (*at, "chord", place)
        yield from _ends(here, chord, anchors, complete=len(anchors) == len(station.anchor))
        if chord.hook is None or chord.far is None or chord.hook == chord.far:
            continue
        ends = frozenset((chord.hook, chord.far))
        if ends in seen:
            what = f"is chord {seen[ends] + 1} of this station over again ({chord.hook}-{chord.far})"
            yield Mistake(here, what, "take one of the two out; a chord may be read from either end")
        seen.setdefault(ends, place)


def _ends(here: KeyPath, chord: ChordDraft, anchors: list[str], *, complete: bool) -> Iterator[Mistake]:
    """`complete` is false where an anchor's name was refused: a chord may well be meant for that one."""
    if chord.hook is not None and chord.hook == chord.far:
        yield Mistake((*here, "to"), f'is the anchor "{chord.far}" that the chord comes from', "name the other end")
        return
    for key, end in (("from", chord.hook), ("to", chord.far)):
        if end is not None and end not in anchors and complete:
            todo = f"name one of {', '.join(anchors)}" if anchors else "describe its anchors"
            yield Mistake((*here, key), f'there is no anchor "{end}" at this station', todo)
