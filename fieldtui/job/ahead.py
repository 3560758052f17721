"""Readings that were taken later than it is now: a date misread from paper, or a clock that is behind.

Nothing is refused or moved for it. What is ahead of the clock by no more than `MARGIN` is not told: a watch and a
laptop differ by minutes, and times on paper are rounded up.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime, timedelta

from fieldtui.job.readings import Reading

MARGIN = timedelta(minutes=15)


def ahead_of(now: datetime, time: datetime) -> str:
    """By how much a time of reading is ahead of the clock, in words; empty where it is not."""
    gap = time - now
    if gap <= MARGIN:
        return ""
    hours = gap.total_seconds() / 3600
    if hours < 1:
        return f"{hours * 60:.0f} min"
    return f"{hours:.1f} h" if hours < 72 else f"{hours / 24:.0f} days"


def newest_ahead(readings: Iterable[Reading], now: datetime) -> tuple[str, ...]:
    """What has to be said before a survey where readings of the job are ahead of the clock: how many, the newest."""
    ahead = [one for one in readings if ahead_of(now, one.time)]
    if not ahead:
        return ()
    newest = max(ahead, key=lambda one: one.time)
    many = f"{len(ahead)} readings were" if len(ahead) > 1 else "A reading was"
    return (
        f"{many} taken later than it is by this clock, {now:%Y-%m-%d %H:%M} UTC; the newest by "
        f"{ahead_of(now, newest.time)}: {' '.join(newest.key)} in survey {newest.label}. "
        "If the clock is wrong, set it before you begin; if the date is, strike the entry and book it anew.",
    )
