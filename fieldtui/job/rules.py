"""What a chord's readings are put into segments by: baseline sets, days, things that became other ones, epochs."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from decimal import Decimal
from zoneinfo import ZoneInfo

from msgspec import Struct

from fieldtui.job.declared import AnchorEvent, Epoch, NewThing, Thing
from fieldtui.route import ChordKey, Route


class Rules(Struct, frozen=True):
    """For one chord. `renewals` are those of its own anchors and of instruments, `epochs` those of its station."""

    baseline_sets: int
    rate_over_hours: Decimal = Decimal(24)
    zone: ZoneInfo | None = None
    shift_start: timedelta = timedelta()
    renewals: tuple[tuple[Thing, datetime], ...] = ()
    epochs: tuple[Epoch, ...] = ()
    ended: tuple[datetime, ...] = ()
    """When an anchor was lost: a segment from before is never gone on with. What is read after it is another anchor."""

    def generation(self, tape: str, extensometer: str, at: datetime) -> int:
        """How often the tape, the extensometer or an anchor had become another one by then, or was lost."""
        renewed = sum(1 for thing, since in self.renewals if since <= at and _concerns(thing, tape, extensometer))
        return renewed + sum(1 for lost in self.ended if lost <= at)

    def day(self, at: datetime) -> date:
        """The shift date: the date on which the shift of that moment began, in the route's zone."""
        local = at if self.zone is None else at.astimezone(self.zone)
        return (local.replace(tzinfo=None) - self.shift_start).date()

    def declared_by(self, at: datetime) -> int:
        """How many declarations concern readings of a time: what is known then is the same while this is."""
        times = (*(since for _, since in self.renewals), *(one.since for one in self.epochs), *self.ended)
        return sum(1 for time in times if time <= at)

    def restart(self, at: datetime | None = None) -> Epoch | None:
        """The newest epoch that counts movement from nil again, by a time or of all."""
        found = (one for one in reversed(self.epochs) if one.restarts and (at is None or one.since <= at))
        return next(found, None)

    def epoch(self, at: datetime) -> Epoch | None:
        """The newest epoch by a time."""
        return next((one for one in reversed(self.epochs) if one.since <= at), None)


def rules_for(
    route: Route,
    key: ChordKey,
    new_things: tuple[NewThing, ...],
    anchors: tuple[AnchorEvent, ...],
    epochs: tuple[Epoch, ...],
) -> Rules:
    """The rules of one chord of a route."""
    ends = {("anchor", key[0], name) for name in key[1].split("-")}
    start = route.shift_start
    return Rules(
        baseline_sets=route.baseline_sets,
        rate_over_hours=route.rate_over_hours,
        zone=ZoneInfo(route.time_zone),
        shift_start=timedelta(hours=start.hour, minutes=start.minute) if start is not None else timedelta(),
        renewals=tuple(
            (one.thing, one.since)
            for one in new_things
            if one.thing in ends or one.thing[0] in ("tape", "extensometer")
        ),
        epochs=tuple(one for one in epochs if one.concerns(key[0])),
        ended=tuple(one.at for one in anchors if one.event == "lost" and ("anchor", one.station, one.anchor) in ends),
    )


def _concerns(thing: Thing, tape: str, extensometer: str) -> bool:
    table, name, _ = thing
    return table == "anchor" or (table, name) in (("tape", tape), ("extensometer", extensometer))
