"""What must hold after each event: the logs are whole, and the screen shows what they say.

each event       logs only grow and prove themselves; the state is the fold of what is on the disk; the page has its
                 size; head, fields and time of saving are those of the disk; what was being typed is still there
now and then     the whole folder is read anew, and the page of a fresh start from it is the page that stands there
"""

from __future__ import annotations

import re
import shutil
import tempfile
from itertools import chain
from pathlib import Path
from zoneinfo import ZoneInfo

from msgspec.structs import replace

from fieldtui.job import Walk, load_job
from fieldtui.log.verify import verify
from fieldtui.route import Route
from fieldtui.survey import State, Step, apply, read_time
from fieldtui.tui.desk import WalkDesk
from fieldtui.tui.draw import draw_walk
from fieldtui.tui.field import Field
from fieldtui.tui.lines import text_of, width_of
from tests.monkey.ledger import Ledger
from tests.monkey.shown import fields_shown, read_screen
from tests.monkey.stage import Stage

WHOLE = 60
"""Cells a line must have for the whole head to be there."""


class Held:
    """Looks at a stage after each event."""

    def __init__(self, stage: Stage, folder: Path) -> None:
        self.stage = stage
        self.ledger = Ledger(folder)
        self.looked = self.compared = 0
        self._of: Walk | None = None
        self._state = State()
        self._half: tuple[Step, Field] | None = None
        """What was half typed at a prompt when something was laid over it."""

    def look(self) -> None:
        """AssertionError where something does not hold."""
        new = self.ledger.read_on()
        self.looked += 1
        self._page_has_its_size()
        desk = self.stage.walking
        if desk is None:
            self._of, self._half = None, None
            return
        walk = desk.walk
        if self._of is not walk:
            self._of, self._state = walk, self._on_disk(walk)
        else:
            for record in new.get(walk.writer.path, ()):
                if record.kind in ("resumed", "torn", "batch", "after"):
                    continue
                self._state = apply(self._state, record, walk.writer.id)
        assert walk.state is self._state or walk.state == self._state, "the state is not the fold of the disk's records"
        self._screen(desk)
        self._typed(desk)

    def look_closely(self) -> None:
        """Read everything anew. AssertionError where something does not hold."""
        self.ledger.prove()
        if not self.ledger.pages:
            return
        answer = verify([self.ledger.folder])
        wrong = [verdict for verdict in answer.verdicts if verdict.problems]
        for found in (wrong, answer.forks, answer.missing, answer.unread):
            assert not found, str(found)
        desk = self.stage.walking
        if desk is None:
            return
        assert desk.walk.state == self._on_disk(desk.walk), "read anew, the logs tell another state"
        if desk.mode.name == "step" and desk.step.kind not in ("closed",) and not desk.message:
            self._fresh_start(desk)

    # -- each ----------------------------------------------------------------------------------------------------

    def _page_has_its_size(self) -> None:
        width, height = self.stage.size
        lines = self.stage.lines
        assert len(lines) == height, f"{len(lines)} lines in a window of {height}"
        for number, line in enumerate(lines):
            assert width_of(line) == width, f"line {number} has {width_of(line)} cells in a window of {width}: {line}"
            assert all(text.isprintable() for text, _ in line), f"line {number} holds a control character: {line}"

    def _on_disk(self, walk: Walk) -> State:
        """The survey as the folder tells it, read anew."""
        route = walk.job.route if walk.job is not None else walk.route
        job = load_job(route, self.ledger.folder)
        return next(survey.state for survey in job.surveys if survey.id == walk.survey)

    def _screen(self, desk: WalkDesk) -> None:
        """The text of the page against the state that was folded from the disk."""
        width, height = self.stage.size
        if desk.mode.name == "help" or width < WHOLE or height < 10:
            return
        walk, state = desk.walk, self._state
        text = text_of(self.stage.lines).split("\n")
        shown = read_screen([line.ljust(width) for line in text])
        counts = counts_of(walk.route, state)
        if shown.counts is not None:
            assert shown.label == walk.label, f"{shown.label} is not the survey {walk.label}"
            assert shown.counts == counts, f"the head says {shown.counts}, the disk {counts}: {text[0]}"
        else:
            assert width < 80 or height < 20 or len(walk.label) > 14, f"no counts in the head: {text[0]}"
        saved = self._saved(walk, desk)
        assert shown.saved == saved, f"the last line says {shown.saved!r}, the disk {saved!r}"
        target = desk.target
        if target is None or not (
            desk.mode.name == "correct" or (desk.mode.name, desk.step.kind) == ("step", "figure")
        ):
            return
        booking = state.bookings.get(target)
        form = next((place for place, line in enumerate(text) if re.match(r"  (hole|dial) ", line)), None)
        assert form is not None, "no fields in sight"
        fields = fields_shown(text[form], text[form + 1])
        assert fields.get(desk.slot, "").startswith("["), f"{desk.slot} is typed, and in sight are {list(fields)}"
        for slot, said in fields.items():
            if slot == desk.slot:
                continue
            entry = booking.slots.get(slot) if booking is not None else None
            booked = "" if entry is None else "none" if entry.declined else entry.typed[:8]
            assert said == booked, f"{slot} shows {said!r}, and {booked!r} is on the disk"

    def _saved(self, walk: Walk, desk: WalkDesk) -> str:
        if desk.mode.name == "unsaved":
            return "NOT SAVED"
        if walk.saved_at is None:
            return "all entries saved" if self._state.entered else "nothing booked yet"
        last = self.ledger.pages[walk.writer.path].entries[-1]
        return f"saved {read_time(last.at).astimezone(ZoneInfo(walk.route.time_zone)):%H:%M:%S}"

    def _typed(self, desk: WalkDesk) -> None:
        """What was half typed at a prompt stands there again after whatever was laid over it, if nothing was booked."""
        if desk.mode.name == "step":
            alone = self.stage.taken <= 1  # of a burst, what was typed behind an Esc belongs to the prompt
            if alone and self._half is not None and self._half[0] == desk.step and self._laid_over:
                assert desk.field == self._half[1], f"half typed was {self._half[1]}, and now stands {desk.field}"
            self._half = None if desk.field.fresh or desk.field.empty else (desk.step, desk.field)
            self._laid_over = False
        else:
            if self.stage.taken > 1 and not self._laid_over:
                self._half = None  # typed on in the same burst before it was laid over
            self._laid_over = True

    _laid_over = False

    # -- now and then ---------------------------------------------------------------------------------------------

    def _fresh_start(self, desk: WalkDesk) -> None:
        """The page that a fresh start from a copy of the folder shows is the page that stands there."""
        self.compared += 1
        width, height = self.stage.size
        with tempfile.TemporaryDirectory(prefix="fresh-") as place:
            copy = Path(place) / "logs"
            shutil.copytree(self.ledger.folder, copy)
            job = load_job(desk.walk.job.route if desk.walk.job is not None else desk.walk.route, copy)
            survey = next(one for one in job.surveys if one.id == desk.walk.survey)
            fresh = WalkDesk(Walk.resume(job, survey, clock=lambda: self.stage.clock.now), job)
            try:
                fresh.field, fresh.turning = desk.field, replace(desk.turning)
                fresh.walk.saved_at = desk.walk.saved_at
                fresh.walk.conditions = desk.walk.conditions
                assert fresh.step == desk.step, f"a fresh start stands at {fresh.step}, the screen at {desk.step}"
                there = text_of(draw_walk(fresh, width, height)).split("\n")
            finally:
                fresh.walk.leave()
        here = text_of(self.stage.lines).split("\n")
        other = [pair for pair in zip(here, there, strict=True) if pair[0] != pair[1]]
        told = "\n".join(chain.from_iterable((f"here  {one}", f"fresh {two}") for one, two in other))
        assert not other, f"a fresh start shows another page:\n{told}"


def counts_of(route: Route, state: State) -> tuple[int, int, int]:
    """Planned chords read, booked as not read, and all, from the records alone."""
    read = left = 0
    planned = [(station.name, chord.name) for station, chord in route.walk()]
    for key in planned:
        finished = [one for one in state.readings(key) if one.finished and not one.broken]
        if any(one.outcome in ("read", "kept") for one in state.readings(key)):
            read += 1
        elif finished:
            left += 1
    return read, left, len(planned)
