"""The end of a survey by lines: what was read, what they share, what can be done, closing, a copy of the log."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from fieldtui.errors import FieldError
from fieldtui.job import Walk, over_levels
from fieldtui.job.folder_named import folder_named
from fieldtui.job.in_common import in_common
from fieldtui.job.sticks import sticks
from fieldtui.job.telling_proof import tell_instruments
from fieldtui.log import copy_to_stick
from fieldtui.plain.orders import numbered
from fieldtui.survey import EntryRefused
from fieldtui.survey import words as say
from fieldtui.survey.chord_time import chord_times, pace_words

if TYPE_CHECKING:
    from fieldtui.plain.talk import Read, Talk, Write

_SURELY = ("close", "***")
"""Nothing that is typed by habit; the second by the number pad."""
MARKS = {"notice": "! ", "alarm": "!! "}


def told_at_the_end(walk: Walk) -> Iterator[str]:
    """What stands above the last prompt: levels, what the lengths share, what was read, what is missing, the list."""
    yield ""
    for where, told in over_levels(walk):
        yield f"{MARKS.get(told.weight, '')}{where}: {told.text}"
    shared = in_common(walk)
    if shared is not None:
        yield f"! In common: {shared.words}"
    for told in tell_instruments(walk):
        yield f"{MARKS.get(told.weight, '')}{told.text}"
    yield read_and_not(walk)
    for target in walk.missing:
        yield f"! {say.place(target)} is missing{say.begun(walk.state, target)}"
    if took := pace_words(chord_times(walk.state)):
        yield took
    for place, (_, text) in enumerate(end_choices(walk), 1):
        yield f"  {place} {text}"


def read_and_not(walk: Walk) -> str:
    """How many planned chords were read, and which were not, each with its reason."""
    read, not_read = 0, []
    for station, chord in walk.route.walk():
        readings = walk.state.readings((station.name, chord.name))
        finished = [booking for booking in readings if booking.finished and not booking.broken]
        if any(booking.was_read for booking in finished):
            read += 1
        elif finished:
            last = finished[-1]
            why = f"{last.outcome}, {last.reason}" if last.reason else last.outcome
            not_read.append(f"{station.name} {chord.name} ({why})")
    if not not_read:
        return f"{read} read."
    return f"{read} read, {len(not_read)} not read: {'; '.join(not_read)}."


def end_choices(walk: Walk) -> list[tuple[str, str]]:
    """What can be done at the end, in the order of the list."""
    missing = [("missing", f"go to the first one missing, {say.place(walk.missing[0])}")] if walk.missing else []
    close = ("close", "close the survey: nothing is written to it again")
    return [*missing, close, ("leave", "leave it open, to go on later")]


def do_at_the_end(talk: Talk, line: str) -> None:
    """Close, turn to what is missing, or leave."""
    chosen = end_choices(talk.walk)[numbered(line, len(end_choices(talk.walk)))][0]
    if chosen == "close":
        confirm_closing(talk.walk, talk.ask)
        talk.walk.close()
    elif chosen == "missing":
        talk.walk.go(talk.walk.missing[0])
    else:
        talk.left = True


def confirm_closing(walk: Walk, read: Read) -> None:
    """Where chords are missing, closing is asked for in full. `EntryRefused` where it is not given."""
    left = len(walk.missing)
    told = say.planned(left, "is missing", "are missing")
    asked = f"{told}. To close it all the same, type close or ***: "
    if left and read(asked).strip() not in _SURELY:
        raise EntryRefused("The survey is not closed.", todo="Read what is missing, or book it as not read.")


def offer_copy(walk: Walk, read: Read, write: Write) -> None:
    """A copy of the closed log on a stick or in another folder; no line is as good as an empty one."""
    found = sticks()
    for place, stick in enumerate(found, 1):
        write(f"  {place} copy the log to {stick}")
    while True:
        try:
            line = read("Copy the log to (number, folder; empty: no copy): ").strip()
        except (EOFError, KeyboardInterrupt):
            return
        if line.lower() in ("", "0", "back"):
            return
        try:
            folder = found[numbered(line, len(found))] if line.isdigit() else folder_named(line)
            made = copy_to_stick(walk.writer.path, folder)
        except FieldError as error:
            write(str(error))
        else:
            write(f"Copied, read back and the same: {made}")
            return
