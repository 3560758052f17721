"""What has to be declared between surveys, asked on the start page: a new thing, or a mistake? Nothing is guessed.

StartDesk ──► QuestionDesk (what it was) ──► TextDesk (why) ──► TextDesk (who says so) ──► journal ──► StartDesk
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC
from functools import partial
from typing import Any, Literal

from fieldtui.job import Job, Question, as_mistake, as_new_thing, declare, system_clock
from fieldtui.survey import EntryRefused, clean_text
from fieldtui.tui.list_desk import ListDesk
from fieldtui.tui.menu import Item

Back = Callable[[str], ListDesk]
"""The start page again, with a sentence."""
Declaration = tuple[str, dict[str, Any]]


class TextDesk(ListDesk):
    """A page that asks for one text; what is given makes the desk that comes next."""

    def __init__(self, title: str, about: list[str], question: str, then: Callable[[str], ListDesk]) -> None:
        super().__init__(title, about, (), question)
        self.wide = True
        self._then = then

    def press(self, key: str, character: str | None) -> None:
        """Letters are text here; Esc leaves."""
        if character is not None and character.isprintable() and key not in ("enter", "escape"):
            self.field, self.message, self.refused = self.field.insert(character), "", False
        else:
            super().press(key, None)

    def enter(self) -> None:
        """Take the text. `EntryRefused` where it is empty."""
        text = clean_text(self.field.text)
        if not text:
            raise EntryRefused("This cannot stay empty.", todo="Type it and press Enter.")
        self.go(self._then(text))


class QuestionDesk(ListDesk):
    """One question about the route, with what can be answered."""

    def __init__(self, job: Job, question: Question, back: Back) -> None:
        self.job, self.question, self.back = job, question, back
        super().__init__(job.route.name, [question.text], self._items(), "What was it")

    def _items(self) -> tuple[Item, ...]:
        if self.question.difference is None:
            chord = self.question.chord
            retired = Item("it was retired and is not read any more", self._retired)
            return (retired,) if chord is not None else ()
        return (
            Item("a new thing: readings begin anew, movement is carried on", self._new_thing),
            Item("a mistake before: what the route says now is right", partial(self._mistake, "new")),
            Item("a mistake now: what it was before is right", partial(self._mistake, "old")),
        )

    def _new_thing(self) -> None:
        difference = self.question.difference
        if difference is not None:
            since = difference.first_new or system_clock().astimezone(UTC)
            self.go(self._who_desk("", lambda by, why: as_new_thing(difference, since, by)))

    def _mistake(self, right: Literal["old", "new"]) -> None:
        difference = self.question.difference
        if difference is None:
            return
        since = difference.first_new if right == "old" else None
        until = difference.first_new if right == "new" else None

        def declared(by: str, why: str) -> Declaration:
            return as_mistake(difference, right, by, why, since, until)

        about = [self.question.text]
        self.go(TextDesk(self.title, about, "Why it was a mistake", partial(self._who_desk, then=declared)))

    def _retired(self) -> None:
        chord = self.question.chord
        if chord is not None:
            at = system_clock().astimezone(UTC).isoformat().replace("+00:00", "Z")
            data = {"station": chord[0], "chord": chord[1], "event": "retired", "at": at}
            self.go(self._who_desk("", lambda by, why: ("chord", {**data, "by": by})))

    def _who_desk(self, why: str, then: Callable[[str, str], Declaration]) -> ListDesk:
        def written(by: str) -> ListDesk:
            path = declare(self.job, by, [then(by, why)], system_clock)
            return self.back(f"Written into the journal {path.name}." if path is not None else "")

        return TextDesk(self.title, [self.question.text], "Who says so (name or initials)", written)
