"""The sentence that a report begins with: what is reached first, then who was not told, then the instrument."""

from __future__ import annotations

from types import SimpleNamespace
from typing import cast

import pytest

from fieldtui.handover.report.first_page import FirstPage
from fieldtui.handover.report.proof import Proof
from fieldtui.handover.report.render import headline

CALM = "Every chord that was read is below the levels that the route states for it"


def told(
    *,
    above: tuple[str, ...] = (),
    cannot_tell: tuple[str, ...] = (),
    untold: int = 0,
    read: int = 3,
    judged: int = 3,
    verdict: str = "proven",
) -> tuple[str, str]:
    page = SimpleNamespace(above=above, cannot_tell=cannot_tell, untold=untold, read=read, judged=judged)
    return headline(cast("FirstPage", page), cast("Proof", SimpleNamespace(verdict=verdict)))


def test_nothing_reached_is_said_of_what_was_read_and_judged_alone() -> None:
    assert told() == ("below", f"{CALM}.")
    assert told(judged=2)[1] == "Below their levels, as far as they can be held against one: 2 of 3 chords."
    assert told(judged=0)[1].startswith("No chord can be held against a level yet")
    assert told(judged=0, read=0)[1].startswith("No chord can be held against a level yet")


def test_what_is_above_comes_before_what_cannot_be_told() -> None:
    state, sentence = told(above=("A L-R",), cannot_tell=("A L-K", "B L-R"))
    assert state == "above"
    assert sentence == "1 chord ABOVE a level (A L-R); 2 chords that cannot be told from a level (A L-K, B L-R)."


def test_what_cannot_be_told_from_a_level_is_no_calm() -> None:
    assert told(cannot_tell=("A L-K",)) == ("cannot tell", "1 chord that cannot be told from a level (A L-K).")


def test_of_many_chords_the_first_are_named() -> None:
    names = tuple(f"S{place} L-R" for place in range(9))
    _, sentence = told(above=names)
    assert sentence.startswith("9 chords ABOVE a level (S0 L-R, ")
    assert sentence.endswith(" ...).")
    assert "S8" not in sentence


@pytest.mark.parametrize(
    ("untold", "said"), [(1, "; somebody has still to be told."), (3, "; of 3 calls somebody has still to be told.")]
)
def test_who_was_not_told_is_in_it(untold: int, said: str) -> None:
    assert told(untold=untold)[1] == CALM + said


@pytest.mark.parametrize("verdict", ["in doubt", "not proven"])
def test_an_instrument_that_is_not_proven_is_in_it(verdict: str) -> None:
    assert told(verdict=verdict)[1] == f"{CALM}; the instrument is {verdict}."
