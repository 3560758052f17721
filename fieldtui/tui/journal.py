"""The journal between surveys: what to write, its questions one by one, the whole once more, then written.

    StartDesk ──► JournalDesk ──► FormDesk (a question) ──► FormDesk (the next) … ──► FormDesk (all of it) ──► StartDesk

Esc and 0 go back by one question; nothing is written before the last page says yes.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial
from zoneinfo import ZoneInfo

from fieldtui.job import Job, declare, system_clock
from fieldtui.job.ahead import ahead_of
from fieldtui.job.asking import Answers, Ask, Form
from fieldtui.job.forms import FORMS
from fieldtui.survey import read_time
from fieldtui.tui.field import Field
from fieldtui.tui.list_desk import ListDesk
from fieldtui.tui.menu import BACK, Item, Menu

Start = Callable[[str], ListDesk]
"""The start page again, with a sentence."""
Answered = tuple[tuple[str, str], ...]
_SHOWN = 7
_TOLD_AT = "told_at"
_TIMES = ("at", "since", _TOLD_AT)
_BY = Ask("by", "Who says so (name or initials)")


def _doubts(job: Job, form: Form, given: Answers) -> Iterator[str]:
    """What may be meant, or be a slip of the pen: a time that has not come yet, and what the form finds."""
    found = [*form.doubts(job, given)] if form.doubts is not None else []
    for key in _TIMES:
        if given.get(key) and (gap := ahead_of(system_clock(), read_time(given[key]))):
            found.append(f"That is {gap} ahead of this computer's clock")
    return (f"▲ {one}. Is it meant so?" for one in found)


class JournalDesk(ListDesk):
    """What can be written into the journal."""

    purpose = (
        "What belongs to no survey, or to one that is closed: who was told, an entry struck out, an anchor "
        "struck or replaced, a certificate, an event. It goes into a file of its own beside the logs."
    )

    def __init__(self, job: Job, start: Start) -> None:
        about = ["What is written here goes into a journal beside the logs. No log is changed; both stay to be seen."]
        items = tuple(Item(form.title, partial(self._fill, form)) for form in FORMS)
        super().__init__(job.route.name, about, items, "Write into the journal")
        self.job, self.start = job, start
        self.back = partial(start, "")

    def _fill(self, form: Form) -> None:
        self.go(FormDesk(self.job, form, (), self.start))


class FormDesk(ListDesk):
    """One question of a form, or at its end all that was answered."""

    purpose = (
        "One question of what is to be written into the journal. At the end all of it is shown once more; "
        "nothing is written before that page says yes."
    )

    def __init__(self, job: Job, form: Form, answers: Answered, start: Start) -> None:
        self.job, self.form, self.answers, self.start = job, form, answers, start
        given = dict(answers)
        ask = form.ask(job, given)
        self.ask = _BY if ask is None and "by" not in given else ask
        told = form.told(job, given)
        if self.ask is None:
            told += [f"{_BY.text}: {given['by']}", *_doubts(job, form, given)]
        # of a long form the newest answers while it is asked; at its end all of it
        shown = told if self.ask is None else told[-_SHOWN:]
        about = [form.title[0].upper() + form.title[1:], *shown]
        super().__init__(job.route.name, about, (), self.ask.text if self.ask is not None else "Is it so")
        self.back = self._before
        if self.ask is None:
            yes = Item("yes, write it into the journal", self._write)
            self.menu = Menu("Is it so", (yes,), BACK)
        elif self.ask.options:
            items = tuple(Item(words, partial(self._answer, value)) for value, words in self.ask.options)
            self.menu = Menu(self.ask.text, items)
        else:
            self.wide = True
            # a call is mostly written down at once
            now = system_clock().astimezone(ZoneInfo(job.route.time_zone)).strftime("%Y-%m-%d %H:%M")
            self.field = Field.of(now if self.ask.key == _TOLD_AT else self.ask.default)

    def enter(self) -> None:
        """Take the text, or the line that is chosen; 0 goes back. `EntryRefused` for a text that cannot be."""
        if self.wide and self.ask is not None:
            self._answer(self.ask.taken(self.field.text))
            return
        typed, self.field = self.field.text, Field()
        item = self.menu.pick(typed)
        if item is None:
            self.go(self._before())
        else:
            item.choose()

    def _answer(self, value: str) -> None:
        if self.ask is not None:
            if self.ask.options and not value:  # it may be the line that says that there is nothing to choose
                self.ask.check(value)
            self.go(FormDesk(self.job, self.form, (*self.answers, (self.ask.key, value)), self.start))

    def _before(self) -> ListDesk:
        if not self.answers:
            return JournalDesk(self.job, self.start)
        return FormDesk(self.job, self.form, self.answers[:-1], self.start)

    def _write(self) -> None:
        given = dict(self.answers)
        records = [(self.form.kind, data) for data in self.form.records(self.job, given)]
        path = declare(self.job, given["by"], records, system_clock)
        self.go(self.start(f"Written into the journal {path.name}." if path is not None else ""))
