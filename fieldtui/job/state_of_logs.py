"""What is wrong with the logs of a job, and what its figures still lack, in words."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence

from fieldtui.counted import counted
from fieldtui.job.amend import Settled
from fieldtui.job.declared import Renamed
from fieldtui.job.journal import Journals
from fieldtui.job.kept import KeptBookings
from fieldtui.job.stories import ChordStory
from fieldtui.job.survey import Survey
from fieldtui.job.twice import twice_told
from fieldtui.log import Damage, LogFile, LogFolder
from fieldtui.log.beyond import beyond


def problems_of(logs: LogFolder, surveys: Sequence[Survey], journals: Journals, settled: Settled) -> Iterator[str]:
    """Damage, forks, missing logs, records that cannot be understood or name what is not there."""
    still_open = {log.id for survey in surveys if survey.open for log in survey.logs}
    for log in logs.logs:
        for damage in log.problems:
            yield _damaged(log, damage, resumed=log.id in still_open)
    for log in logs.empty:
        if log.beheaded:
            count = f"{len(log.chain)} records are" if len(log.chain) > 1 else "one record is"
            yield (
                f"{log.path.name}: its first record is damaged, and with it which survey it is; {count} whole "
                f"in it and counted nowhere. If there is a copy elsewhere, fieldtui gather puts the two together. "
                f"More: fieldtui verify {log.path}"
            )
    for unread in logs.unread:
        yield str(unread)
    for fork in logs.forks:
        files = ", ".join(log.path.name for log in fork.logs)
        yield f"{files}: one log that parts at record {fork.seq}; set aside until a journal says which counts"
    for past in beyond(logs.logs):
        yield f"{past}. Book what was read then in the survey once more, or as a note."
    for one in logs.missing:
        yield f"log {one.log[:8]}, named by {one.named_by[:8]}: {one.what}"
    for survey in surveys:
        if survey.state.unknown:
            yield f"survey {survey.label}: {_newer(survey.state.unknown)}"
        for what in ("tape", "extensometer"):
            yield from _nameless(survey, what)
        if survey.state.strays:
            yield f"survey {survey.label}: struck out what is not there, in {counted(survey.state.strays, 'record')}"
    yield from journals.problems
    if journals.unknown:
        yield f"journals: {_newer(journals.unknown)}"
    for place in settled.disputed:
        yield f"log {place[0][:8]}, record {place[1]}: two journals amend it differently; it is in doubt"
    known = {log.id for survey in surveys for log in survey.logs}
    for amendment in settled.counting:
        if amendment.place[0] not in known:
            yield f"log {amendment.place[0][:8]}, record {amendment.place[1]}: amended, and the log is not here"


def mixing_told(mixing: Iterable[Renamed]) -> Iterator[str]:
    """Stations declared to be one that were two."""
    for one in mixing:
        yield (
            f"{one.old} was declared to be called {one.new} now, but both were stations of one survey before: "
            "nothing is taken over. Strike that declaration out in the journal."
        )


def _nameless(survey: Survey, what: str) -> Iterator[str]:
    """Bookings that lost the answer which named their tape or extensometer, and what can be done."""
    if isinstance(survey.state.bookings, KeptBookings):  # kept are only surveys without such a booking
        return
    lost = [target for target in survey.state.nameless(what) if not target.is_zero]
    if not lost:
        return
    todo = "If there is a copy elsewhere, fieldtui gather takes the record from it; else read them again."
    if survey.open and what not in survey.state.said:
        todo = "Resume the survey: the answer is asked for again, also for them."
    count = f"{len(lost)} bookings have" if len(lost) > 1 else "a booking has"
    yield f"survey {survey.label}: the record that named the {what} is lost, and {count} no length without it. {todo}"


def _newer(unknown: int) -> str:
    return f"{counted(unknown, 'record')} of a newer version, counted and not used"


def _damaged(log: LogFile, damage: Damage, *, resumed: bool) -> str:
    several = damage.last_record > damage.record
    records = f"records {damage.record} to {damage.last_record}" if several else f"record {damage.record}"
    where = f"{log.path.name}, {records}, bytes {damage.first_byte} to {damage.last_byte}"
    todo = (
        "Resume the survey: what was lost is asked for again."
        if resumed
        else "If there is a copy elsewhere, fieldtui gather takes from it what is whole there."
    )
    return f"{where}: {damage.what} {todo} More: fieldtui verify {log.path}"


def warnings_of(stories: Collection[ChordStory]) -> Iterator[str]:
    """Readings that stand in two surveys, baselines whose sets are not all in, gaps of which nothing is known."""
    yield from twice_told(story.readings for story in stories)
    for story in stories:
        yield from lacking_in(story)


def lacking_in(story: ChordStory) -> Iterator[str]:
    """What one chord's figures still lack: sets of its baselines, a pace in the gaps."""
    name, wanted = " ".join(story.key), story.rules.baseline_sets
    for segment in story.segments:
        declared = any(past.of_baseline for past in segment.baseline)
        if len(segment.baseline) < wanted and not declared:
            yield f"{name}, segment {segment.number}: {len(segment.baseline)} of {wanted} baseline sets are in"
        if segment.offset is not None and segment.offset.pace is None and segment.offset.gap_days > 0:
            yield (
                f"{name}, segment {segment.number}: how fast it moved before the change is not known, "
                f"and the gap of {segment.offset.gap_days:.1f} days is not in its uncertainty"
            )
