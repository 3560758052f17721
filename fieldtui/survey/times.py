"""Times written by a person: RFC 3339 with its offset, or local time in the route's zone."""

from __future__ import annotations

import re
from datetime import MAXYEAR, MINYEAR, UTC, datetime
from zoneinfo import ZoneInfo

from fieldtui.survey.typed import EntryRefused

_TIME = re.compile(
    r"(\d{4}-\d\d-\d\d)[Tt ]+(\d\d:\d\d)(:\d\d)?([.,]\d{1,6})?\s?([Zz]|[+-]\d\d:\d\d)?",
    re.ASCII,
)
_TODO = "Write it like 2031-05-04T07:30:00+02:00, or 2031-05-04 07:30 for the route's own time."


def reading_time(text: str, zone: ZoneInfo) -> datetime:
    """The time of a reading, in UTC. `EntryRefused` where it is not one certain moment.

    A local time that the clocks skipped, or that they showed twice, is refused: nothing is guessed.
    """
    if not text:
        raise EntryRefused("There is no time of reading.", todo=_TODO)
    found = _TIME.fullmatch(text)
    if found is None:
        raise EntryRefused(f"“{text}” is not a time of reading.", todo=_TODO)
    day, minute, second, fraction, offset = found.groups()
    written = f"{day}T{minute}{second or ':00'}{(fraction or '').replace(',', '.')}"
    try:
        moment = datetime.fromisoformat(written + (offset or "").upper())
    except ValueError as error:
        raise EntryRefused(f"“{text}” is not a day and time that there is.", todo=_TODO) from error
    if not MINYEAR < moment.year < MAXYEAR:  # the same moment in another zone would lie outside the calendar
        raise EntryRefused(f"“{text}” is no day on which anything was read.", todo=_TODO)
    # in UTC: differences of times in one zone would be counted by the clock on the wall
    return (moment if offset else _local(moment, zone, text)).astimezone(UTC)


def _local(naive: datetime, zone: ZoneInfo, text: str) -> datetime:
    first, second = naive.replace(tzinfo=zone, fold=0), naive.replace(tzinfo=zone, fold=1)
    there = [one for one in (first, second) if one.astimezone(UTC).astimezone(zone).replace(tzinfo=None) == naive]
    if len(there) == 2 and first.utcoffset() == second.utcoffset():
        return first
    if there:
        offsets = " or ".join(f"{one:%z}"[:3] + ":" + f"{one:%z}"[3:] for one in there)
        raise EntryRefused(
            f"The clocks of {zone.key} showed {text} twice.", todo=f"Write it with its offset, {offsets}."
        )
    raise EntryRefused(f"The clocks of {zone.key} never showed {text}.", todo="Write it with its offset.")


def stamp(moment: datetime) -> str:
    """A time as records hold it: RFC 3339, UTC, milliseconds."""
    return moment.astimezone(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")


def shown_time(moment: datetime, zone: ZoneInfo) -> str:
    """A time with the route's offset, RFC 3339, seconds (and their parts where there are any)."""
    local = moment.astimezone(zone)
    text = local.isoformat(timespec="milliseconds" if local.microsecond else "seconds")
    return text.replace("+00:00", "Z")
