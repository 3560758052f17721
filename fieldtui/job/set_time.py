"""The laptop's clock set right for a survey at hand: every time of reading in it is moved, and what is booked on."""

from __future__ import annotations

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from fieldtui.job.walk import Walk
from fieldtui.survey import EntryRefused, time_of_day


def time_here(walk: Walk) -> datetime:
    """The time now as this survey has it: the laptop's clock, set right as far as it was, in the route's zone."""
    return walk.clock().astimezone(ZoneInfo(walk.route.time_zone)) + walk.state.shift


def set_time(walk: Walk, typed: str) -> None:
    """Move every time of reading of this survey so that it is now the time of day typed, in the route's zone.

    `EntryRefused` where that is no time of day, or the one it already has.
    """
    now = time_here(walk)
    by = time_of_day(typed, now) - now
    if abs(by) < timedelta(seconds=1):
        raise EntryRefused("That is the time it already has.", todo="Type the right time.")
    walk.commit("clock", {"shift_seconds": round(by.total_seconds())})
