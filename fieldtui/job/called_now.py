"""What journals declare of stations, by the names that they have now.

A declaration names a station as it was called then. Renamed since, the station takes with it what was declared of it:
its anchors replaced or lost, its chords retired, its baselines, its events.
"""

from __future__ import annotations

from datetime import datetime

from msgspec.structs import replace

from fieldtui.job.declared import AnchorEvent, ChordEvent, Epoch, Happening, NewThing, Written
from fieldtui.job.journal import Journals
from fieldtui.job.names import Names


def called_now(journals: Journals, names: Names) -> Journals:
    """The same declarations; where nothing was renamed, the very same."""
    if not names.changes:
        return journals

    def now(station: str, at: datetime, written: Written) -> str:
        # a name is that of the day it was written on, also where it tells of a later day
        return names.station(station, min(at, written.at)) if station else station

    def anchor(one: AnchorEvent) -> AnchorEvent:
        return replace(one, station=now(one.station, one.at, one.written))

    def chord(one: ChordEvent) -> ChordEvent:
        station, name = names.chord((one.station, one.chord), min(one.at, one.written.at))
        return replace(one, station=station, chord=name)

    def epoch(one: Epoch) -> Epoch:
        return replace(one, stations=frozenset(now(name, one.since, one.written) for name in one.stations))

    def thing(one: NewThing) -> NewThing:
        table, name, part = one.thing
        return replace(one, thing=(table, now(name, one.since, one.written), part)) if table == "anchor" else one

    def happening(one: Happening) -> Happening:
        return replace(one, station=now(one.station, one.at, one.written))

    return replace(
        journals,
        anchors=[anchor(one) for one in journals.anchors],
        chords=[chord(one) for one in journals.chords],
        epochs=[epoch(one) for one in journals.epochs],
        new_things=[thing(one) for one in journals.new_things],
        happenings=[happening(one) for one in journals.happenings],
    )
