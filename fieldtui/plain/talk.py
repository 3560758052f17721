"""One survey line by line: the step's prompt, the line that was read, what it means, until it is closed or left.

Walk.step ──► prompt ──► line ──► an order: done at once
                             └──► an answer: booked by Walk, or refused with words ──► what the figures mean
"""

from __future__ import annotations

from collections.abc import Callable, Iterable

from fieldtui.errors import FieldError
from fieldtui.job import (
    Call,
    Job,
    LiveCalls,
    Told,
    Walk,
    accept,
    doubt,
    elsewhere,
    frame_failed,
    not_saved,
    over_levels,
    parting,
    saved_text,
    suggestion,
    tell,
)
from fieldtui.job.folder_named import folder_named
from fieldtui.log import WriteFailed
from fieldtui.plain import doing, ending
from fieldtui.plain.orders import read_order
from fieldtui.route import Station
from fieldtui.settings import AS_USUAL, Settings
from fieldtui.survey import EntryRefused, Step, Target, choices
from fieldtui.survey import words as say
from fieldtui.survey.actions import KeyMap

Read = Callable[[str], str]
Write = Callable[[str], None]
DONE, ATTENTION = 0, 1
_LABEL = 13
_NOT_TEXT = "\ufffd"
SEEN = "1"
"""Goes on where a caution, a notice or an alarm stands above the prompt; Enter alone, typed by habit, does not."""


def run_plain(
    walk: Walk,
    read: Read,
    write: Write,
    *,
    job: Job | None = None,
    bell: bool = False,
    settings: Settings = AS_USUAL,
) -> int:
    """Walk a survey to its end, or as far as the lines go. `read` raises `EOFError` where there are no more.

    Gives 0 where it was closed with nothing to tell or left by order; 1 where it was closed and somebody has to be
    told or a planned chord is missing, or where the lines ended or it was interrupted: then it stays open.
    """
    talk = Talk(walk, read, write, job=job, bell=bell, keyboard=settings.keyboard)
    try:
        return talk.run()
    finally:
        walk.leave()


class Talk:
    """The lines of one survey. Holds nothing of the survey but what was last announced."""

    def __init__(self, walk: Walk, read: Read, write: Write, *, job: Job | None, bell: bool, keyboard: KeyMap) -> None:
        self.walk = walk
        self.job = job
        self._calls = LiveCalls(job, walk) if job is not None else None
        self.read = read
        self.write = write
        self.bell = bell
        self.keyboard = keyboard
        self.left = False
        self._announced: Step | None = None
        self._conditions: tuple[str, ...] = ()
        self._told: tuple[Told, ...] = ()

    def run(self) -> int:
        """Prompt after prompt; the exit status."""
        self.write(f"{self.walk.route.name}, survey {self.walk.label}.")
        self.write(f"{self.order('help')} and Enter: help. Every entry is saved at once.")
        self._tell_conditions()
        try:
            while not self.left and self.walk.step.kind != "closed":
                self._turn(self.walk.step)
        except EOFError:
            self.write("The lines have ended.")
            self.write(parting(self.walk))
            return ATTENTION
        except KeyboardInterrupt:
            self.write("\nStopped.")
            self.write(parting(self.walk))
            return ATTENTION
        self.write(parting(self.walk))
        if self.walk.state.closed:
            ending.offer_copy(self.walk, self.read, self.write)
        return ATTENTION if self.walk.state.closed and (over_levels(self.walk) or self.walk.missing) else DONE

    def _turn(self, step: Step) -> None:
        if step != self._announced:
            self._say(announcement(self.walk, step))
            self._announced = step
        try:
            line = self.ask(self.prompt(step))
        except EntryRefused as refused:
            self.write(f"{refused} Nothing was booked.")
            return
        try:
            self.answer(step, line)
        except WriteFailed as failure:
            self._go_on_elsewhere(failure)
        except FieldError as error:
            self.write(f"{error} Nothing was booked.")

    def answer(self, step: Step, line: str) -> None:
        """Do what a line says at a prompt. `EntryRefused` says why it cannot be done."""
        order = read_order(line, self.keyboard, text_wanted=step.kind == "say" and not step.what.startswith("face "))
        if order is not None:
            doing.obey(self, order)
        elif step.kind == "end":
            ending.do_at_the_end(self, line)
        elif step.kind == "result":
            self._accept(line.strip())
        elif step.kind == "arrive":
            self._arrive(step, line.strip())
        else:
            self.walk.book(self._or_suggested(step, line))
            self.saved()
            self.tell(step.target, step.what)

    def _arrive(self, step: Step, typed: str) -> None:
        """Go on from where a station begins; an Enter that comes twice passes none of its cautions."""
        cautioned = self._cautioned(step)
        if typed and not (cautioned and typed == SEEN):
            todo = f"{SEEN} and Enter: the caution is read, go on." if cautioned else "Enter alone goes on."
            raise EntryRefused(f"“{typed[:40]}” is no answer here.", todo=todo)
        if cautioned and not typed:
            raise EntryRefused("This station has a caution.", todo=f"Read it, then {SEEN} and Enter goes on.")
        self.walk.book("")
        self.saved()

    def _accept(self, typed: str) -> None:
        """Accept a complete booking, where nothing about it says that it must not be."""
        striking = self._striking()
        if doubt(self.walk) is not None:
            why = "This does not agree."
        elif frame_failed(self.walk):
            why = "The control frame is not what it was."
        elif typed and not (striking and typed == SEEN):
            why = f"“{typed[:40]}” is no answer here."
        elif striking and not typed:
            why = "What stands above is to be seen before the tape is unhooked."
        else:
            accept(self.walk)
            self.saved()
            return
        raise EntryRefused(why, todo=f"{self.todo()}.")

    def ask(self, question: str) -> str:
        """The next line. `EntryRefused` where there is something in it that is no text."""
        line = self.read(question)
        if _NOT_TEXT in line:
            raise EntryRefused("There are bytes in this line that are no text (UTF-8).", todo="Type it again.")
        return line

    def choose(self, options: Iterable[str], question: str) -> str:
        """What is typed below a numbered list."""
        self._say(f"  {place} {option}" for place, option in enumerate(options, 1))
        return self.ask(question)

    def order(self, action: str) -> str:
        """What to type for an action."""
        return self.keyboard.on_line(action)

    def open_calls(self) -> tuple[Call, ...]:
        """Calls of this and earlier surveys of which somebody has still to be told."""
        return self._calls.open() if self._calls is not None else ()

    def saved(self) -> None:
        """Say when the entry was saved, and what has changed around the survey: the clock, the disk."""
        self.write(f"  {saved_text(self.walk)}")
        self._tell_conditions()

    def _tell_conditions(self) -> None:
        """Each once, and again when it has gone and come back."""
        self._say(f"! {told}" for told in self.walk.conditions if told not in self._conditions)
        self._conditions = self.walk.conditions

    def tell(self, target: Target | None, slot: str) -> None:
        """What the figures of a booking mean, said once; the hole alone means nothing yet."""
        booking = self.walk.state.bookings.get(target) if target is not None else None
        whole = booking is not None and booking.figures_in
        told = () if slot == "hole" and not whole else self.told(target)
        # between the repeats the figures and what has changed; all of it once all are in, and after a correction
        before, self._told = self._told, told
        fresh = [one for one in told if whole or one.weight == "main" or one not in before]
        self._say(f"  {one.label:<{_LABEL}}{ending.MARKS.get(one.weight, '')}{one.text}" for one in fresh)
        if self.bell and whole and any(one.weight in ending.MARKS for one in told):
            self.write("\a")

    def told(self, target: Target | None) -> tuple[Told, ...]:
        """What the screen would show of a booking."""
        return () if target is None else tell(self.walk, target)

    def _say(self, lines: Iterable[str]) -> None:
        for line in lines:
            self.write(line)

    def prompt(self, step: Step) -> str:
        """The prompt of a step, with what Enter alone would answer."""
        asked = say.prompt(self.walk.route, step)
        if step.kind == "arrive":
            if self._cautioned(step):
                return f"{asked}, {SEEN} and Enter when there and the caution is read: "
            return f"{asked}, Enter when there: "
        if step.kind == "result":
            doubted = " and do not agree" if doubt(self.walk) is not None else ""
            return f"{asked}{doubted}; {self.todo()}: "
        if step.kind == "figure" and step.optional:
            return f"{asked} (those before do not agree; empty: not taken): "
        suggested = suggestion(self.walk, step.what) if step.kind == "say" else ""
        none = ", -: none" if suggested and step.optional else ""
        return f"{asked} [{suggested}{none}]: " if suggested else f"{asked}: "

    def todo(self) -> str:
        """What can be done about the complete booking at hand."""
        again, correct, keep, more = map(self.order, ("again", "correct", "keep", "more"))
        if doubt(self.walk) is not None:
            return f"{again} reads again, {correct} corrects, {keep} and a reason keeps it as it is"
        if frame_failed(self.walk):
            several = [what for what in ("tape", "extensometer") if len(choices(self.walk.route, what)) > 1]
            others = "".join(f"{more} {what} takes another, " for what in several)
            return f"{again} reads it again, {correct} corrects, {others}{keep} and a reason: every length says so"
        goes_on = f"{SEEN} and Enter: it is seen, go on" if self._striking() else "Enter accepts"
        return f"{goes_on}, {again} reads again, {correct} corrects"

    def _striking(self) -> bool:
        """Whether something about the booking at hand must not be passed over with a bare Enter."""
        return any(one.weight in ending.MARKS for one in self.told(self.walk.step.target))

    def _cautioned(self, step: Step) -> bool:
        """Whether a station that is come to has a caution, which must not be passed over with a bare Enter."""
        station = self.walk.route.station(step.what)
        return station is not None and station.caution != ""

    def _or_suggested(self, step: Step, line: str) -> str:
        """An empty answer is what the prompt suggests; `-` is none, where there may be none."""
        if step.kind != "say":
            return line
        if not line.strip():
            return suggestion(self.walk, step.what)
        return "" if step.optional and line.strip() == "-" else line

    def _go_on_elsewhere(self, failure: WriteFailed) -> None:
        """A new file for an entry that did not reach the disk; asked for until one can be written."""
        self.write(f"NOT SAVED: {not_saved(self.walk)}. {failure}")
        while True:
            folder = self.read("Folder for a new file (empty: the same folder): ").strip()
            try:
                self.walk.continue_in(folder_named(folder) if folder else self.walk.writer.path.parent)
            except FieldError as error:
                self.write(f"NOT SAVED. {error}")
            else:
                self.write(f"Saved in the new file {self.walk.writer.path.name}; going on there.{elsewhere(self.walk)}")
                return


def announcement(walk: Walk, step: Step) -> list[str]:
    """What stands above a prompt: cautions, choices, what is missing at the end."""
    if step.kind == "say" and step.what == "cautions":
        return ["Before anyone goes in:", *(f"  - {caution}" for caution in say.CAUTIONS)]
    if step.kind == "say":
        return [f"  {place} {option}" for place, option in enumerate(choices(walk.route, step.what), 1)]
    if step.kind == "arrive":
        station = walk.route.station(step.what)
        return ["", f"Station {step.what}:"] if station is None else _arrival(walk, station)
    if step.kind == "figure" and step.what == "hole" and step.target is not None and step.target.is_chord:
        chord = walk.place(step.target)[1]
        return [f"{say.place(step.target)}: hook at {chord.hook}, instrument at {chord.far}"]
    if step.kind == "end":
        return list(ending.told_at_the_end(walk))
    return []


def _arrival(walk: Walk, station: Station) -> list[str]:
    """What is to be known of a station before its first chord."""
    told = [f"! {one}" for one in (station.caution, say.platform_needed(walk.route, station)) if one]
    names = ", ".join(chord.name for chord in station.chords)
    return ["", f"Station {station.name}: {names}", *told, *([station.note] if station.note else [])]
