"""Which pages, prompts, lists and actions were reached, and how often."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from unittest.mock import patch

from fieldtui.survey.actions import ACTIONS
from fieldtui.tui.desk import WalkDesk
from fieldtui.tui.desks import Desk
from fieldtui.tui.journal import FormDesk

PAGES = (
    "RoutesDesk", "StartDesk", "SureDesk", "WalkDesk", "DueDesk", "InstrumentDesk", "JournalDesk", "FormDesk",
    "QuestionDesk", "TextDesk", "OpeningDesk", "RouteDesk", "ChordDesk", "StationDesk", "HelpDesk", "LayDesk",
    "SightDesk", "WriteDesk", "WrittenDesk", "DraftDesk",
)  # fmt: skip


class Visited:
    """Counts of what was reached."""

    def __init__(self) -> None:
        self.pages: Counter[str] = Counter()
        self.prompts: Counter[str] = Counter()
        self.lists: Counter[str] = Counter()
        self.actions: Counter[str] = Counter()
        self.refused: Counter[str] = Counter()
        self.closed = 0

    def look(self, desk: Desk) -> None:
        """Take note of the page that stands there."""
        self.pages[type(desk).__name__] += 1
        if isinstance(desk, WalkDesk):
            slot = desk.slot or desk.step.what if desk.step.kind in ("figure", "say") else ""
            self.prompts[f"{desk.step.kind} {re.sub(r'^face .*', 'face', slot)}".strip()] += 1
            if desk.mode.name != "step":
                self.prompts[f"({desk.mode.name})"] += 1
            if desk.mode.menu is not None:
                self.lists[_plain(desk.mode.menu.title)] += 1
        elif isinstance(desk, FormDesk):
            self.lists[f"{desk.form.title}: {desk.ask.key if desk.ask is not None else 'all of it'}"] += 1

    @contextmanager
    def counting(self) -> Iterator[None]:
        """While this holds, actions of the walk are counted: done, or refused with words."""
        act = WalkDesk.act

        def counted(desk: WalkDesk, action: str) -> None:
            act(desk, action)
            (self.refused if desk.refused else self.actions)[action] += 1

        with patch.object(WalkDesk, "act", counted):
            yield

    @property
    def never(self) -> list[str]:
        """Pages and actions that were not reached."""
        pages = [page for page in PAGES if not self.pages[page]]
        return [*pages, *(f"action {action.id}" for action in ACTIONS if not self.actions[action.id])]

    def __str__(self) -> str:
        parts = [
            f"pages ({len(self.pages)}): {_counts(self.pages)}",
            f"prompts of the walk ({len(self.prompts)}): {_counts(self.prompts)}",
            f"lists and forms ({len(self.lists)}): {_counts(self.lists)}",
            f"actions done ({len(self.actions)} of {len(ACTIONS)}): {_counts(self.actions)}",
            f"actions refused with words: {_counts(self.refused)}",
            f"never reached: {', '.join(self.never) or 'none'}",
        ]
        return "\n".join(parts)


def _counts(counter: Counter[str]) -> str:
    return ", ".join(f"{name} {count:,}" for name, count in counter.most_common())


def _plain(title: str) -> str:
    """A list's title without names and figures."""
    return re.split(r"[:,]| is not read| was in use| are not read", re.sub(r"\d+", "#", title))[0][:40]
