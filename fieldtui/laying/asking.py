"""Questions in words: short ways to make an `Ask` of each kind."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from fieldtui.job.asking import Ask
from fieldtui.laying import checks
from fieldtui.laying.checks import Check

Given = Mapping[str, str]
"""Answers by key, in the order they were given."""
Asks = Iterator[Ask]
YES, NO = "yes", "no"


def text(key: str, words: str, default: str = "", check: Check = checks.name, *, optional: bool = False) -> Ask:
    """A text or figure to type; an optional one may be left empty."""
    return Ask(key, words, (), check, default, optional)


def choice(key: str, words: str, *options: tuple[str, str]) -> Ask:
    """One of a few; what each stands for, and its words."""
    return Ask(key, words, tuple(options))


def yes_no(key: str, words: str, yes: str = "yes", no: str = "no") -> Ask:
    """Enter alone says no."""
    return choice(key, words, (NO, no), (YES, yes))


def numbered(given: Given, stem: str, last: str) -> Iterator[int]:
    """0, 1, 2 …: one more as long as the question `stem` + number + `last` was answered, and not by an empty text."""
    place = 0
    while True:
        yield place
        if not given.get(f"{stem}{place}{last}"):
            return
        place += 1


def named(given: Given, stem: str, last: str) -> list[str]:
    """The answers of one question that is asked again and again."""
    return [given[f"{stem}{place}{last}"] for place in numbered(given, stem, last) if given.get(f"{stem}{place}{last}")]
