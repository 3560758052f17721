"""What has to be declared between surveys, asked on the start page: a new thing, or a mistake? Nothing is guessed.

StartDesk ──► QuestionDesk (what it was) ──► TextDesk (why) ──► TextDesk (who says so) ──► journal ──► StartDesk
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC
from functools import partial
from typing import Any, Literal

from fieldtui.counted import counted
from fieldtui.job import Job, Question, as_mistake, as_new_thing, as_settled, declare, system_clock
from fieldtui.job.forms import RENAMED
from fieldtui.log import LogFile
from fieldtui.survey import EntryRefused, clean_text
from fieldtui.tui.journal import FormDesk
from fieldtui.tui.list_desk import ListDesk
from fieldtui.tui.menu import Item

Start = Callable[[str], ListDesk]
"""The start page again, with a sentence."""
Declaration = tuple[str, dict[str, Any]]
Declared = Callable[[str, str], Declaration]
"""From who says so and why, what the journal is to hold."""


class TextDesk(ListDesk):
    """A page that asks for one text; what is given makes the desk that comes next."""

    purpose = "A reason or a name, for the journal. It stays to be seen with what is declared."

    def __init__(self, before: ListDesk, question: str, then: Callable[[str], ListDesk]) -> None:
        super().__init__(before.title, before.about, (), question)
        self.wide = True
        self.back = partial(again, before)
        self._then = then

    def enter(self) -> None:
        """Take the text. `EntryRefused` where it is empty."""
        text = clean_text(self.field.text)
        if not text:
            raise EntryRefused("This cannot stay empty.", todo="Type it and press Enter.")
        self.go(self._then(text))


def again(desk: ListDesk) -> ListDesk:
    """A desk that was left, to be asked once more."""
    desk.done, desk.next = False, None
    return desk


class QuestionDesk(ListDesk):
    """One question about the route or the logs, with what can be answered."""

    purpose = (
        "Something differs from what it was in the last survey, or two records contradict each other. Say "
        "what it was: a new thing begins new segments, a mistake is set right in every length. Nothing is "
        "guessed, and no log is changed."
    )

    def __init__(self, job: Job, question: Question, start: Start) -> None:
        self.job, self.question, self.start = job, question, start
        super().__init__(job.route.name, [question.text], self._items(), "What was it")
        self.back = partial(start, "")

    def _items(self) -> tuple[Item, ...]:
        question = self.question
        if question.difference is not None:
            return (
                Item("a new thing: readings begin anew, movement is carried on", self._new_thing),
                Item("a mistake before: what the route says now is right", partial(self._mistake, "new")),
                Item("a mistake now: what it was before is right", partial(self._mistake, "old")),
            )
        if question.chord is not None:
            return (
                Item("it was retired and is not read any more", self._retired),
                Item("its station has another name now", self._renamed),
            )
        if question.fork is not None:
            return tuple(
                Item(f"{log.path.name} counts", partial(self._fork, log), counted(len(log.records), "record"))
                for log in question.fork.logs
                if log.last is not None
            )
        rights = dict.fromkeys(one.typed for one in question.amendments)
        return tuple(
            Item(f"“{right}” is right" if right is not None else "nothing stands there", partial(self._settled, right))
            for right in rights
        )

    def _new_thing(self) -> None:
        difference = self.question.difference
        if difference is not None:
            since = difference.first_new or system_clock().astimezone(UTC)
            self._who(lambda by, why: as_new_thing(difference, since, by))

    def _mistake(self, right: Literal["old", "new"]) -> None:
        difference = self.question.difference
        if difference is None:
            return
        since = difference.first_new if right == "old" else None
        until = difference.first_new if right == "new" else None
        self._why("Why it was a mistake", lambda by, why: as_mistake(difference, right, by, why, since, until))

    def _retired(self) -> None:
        chord = self.question.chord
        if chord is not None:
            at = system_clock().astimezone(UTC).isoformat().replace("+00:00", "Z")
            data = {"station": chord[0], "chord": chord[1], "event": "retired", "at": at}
            self._who(lambda by, why: ("chord", {**data, "by": by}))

    def _renamed(self) -> None:
        if self.question.chord is not None:
            self.go(FormDesk(self.job, RENAMED, (("old", self.question.chord[0]),), self.start))

    def _fork(self, log: LogFile) -> None:
        last = log.last
        if last is not None:
            h = last.h
            self._why("Why this one counts", lambda by, why: ("fork", {"log": log.id, "h": h, "reason": why, "by": by}))

    def _settled(self, right: str | None) -> None:
        self._why("Why this is right", lambda by, why: as_settled(self.question, right, by, why))

    def _why(self, asked: str, declared: Declared) -> None:
        self.go(TextDesk(self, asked, lambda why: self._who_desk(declared, why)))

    def _who(self, declared: Declared) -> None:
        self.go(self._who_desk(declared, ""))

    def _who_desk(self, declared: Declared, why: str) -> ListDesk:
        def written(by: str) -> ListDesk:
            path = declare(self.job, by, [declared(by, why)], system_clock)
            return self.start(f"Written into the journal {path.name}." if path is not None else "")

        return TextDesk(self, "Who says so (name or initials)", written)
