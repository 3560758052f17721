"""What goes to the terminal of a line: the cells that changed, with neighbours of one role together."""

from __future__ import annotations

import textwrap
import unicodedata
from itertools import pairwise

from hypothesis import example, given
from hypothesis import strategies as st
from rich.cells import cell_len

from fieldtui.tui.lines import NOT_ONE_CELL, Line, changed, fit, joined, text_of, width_of, wrapped

WIDTH = 12
SEGMENTS = st.lists(st.tuples(st.text("ab ●", max_size=5), st.sampled_from(["", "main", "alarm"])), max_size=5)


def cells(line: Line) -> Line:
    return [(sign, role) for text, role in line for sign in text]


@given(SEGMENTS, SEGMENTS)
def test_sending_the_changed_cells_makes_the_new_line(one: Line, other: Line) -> None:
    old, new = fit(one, WIDTH), fit(other, WIDTH)
    first, count = changed(old, new)
    shown = [*cells(old)[:first], *cells(new)[first : first + count], *cells(old)[first + count :]]
    assert shown == cells(new)
    if count:
        assert cells(old)[first] != cells(new)[first]
        assert cells(old)[first + count - 1] != cells(new)[first + count - 1]


@given(SEGMENTS)
def test_merging_changes_nothing_that_is_seen(line: Line) -> None:
    together = joined(line)
    assert cells(together) == cells(line)
    assert all(here[1] != there[1] for here, there in pairwise(together))


def test_a_line_with_signs_of_two_cells_is_sent_whole() -> None:
    old, new = fit([("隧a", "")], WIDTH), fit([("隧b", "")], WIDTH)
    assert changed(old, new) == (0, WIDTH)
    for where in (slice(None), slice(None, None, -1)):
        pieces = [[("隧", "main"), (sign, "")][where] for sign in "ab"]
        assert changed(*(fit(line, WIDTH) for line in pieces)) == (0, WIDTH), "in a piece beside it as well"
    accent = fit([("e\u0301a", "")], WIDTH)
    assert changed(fit([("e a", "")], WIDTH), accent) == (0, WIDTH)
    both = [fit([(f"隧\u0301{sign}", "")], WIDTH) for sign in "ab"]
    assert changed(*both) == (0, WIDTH), "they make up for each other in the length"


@given(st.text("隧道a ́ ", max_size=60))
@example("a" + 5 * "\u0301" + 6 * "道" + "\u0301")
def test_a_text_of_wide_signs_is_wrapped_whole(text: str) -> None:
    lines = wrapped(text, WIDTH)
    assert all(width_of(line) <= WIDTH for line in lines)
    assert "".join(text_of(lines).split()) == "".join(text.split())


def test_signs_counted_as_one_cell_are_one_cell_wide() -> None:
    """By the Unicode database (UAX 11, and no sign that combines), and by the library that draws them."""
    signs = [sign for sign in map(chr, range(0x3000)) if NOT_ONE_CELL.search(sign) is None]
    assert {*"aZ0 ~é±─█▼"} <= {*signs}
    assert {unicodedata.east_asian_width(sign) for sign in signs} <= {"Na", "N", "A"}
    assert not [sign for sign in signs if unicodedata.combining(sign) or unicodedata.category(sign) in ("Cf", "Cc")]
    assert {cell_len(sign) for sign in signs} == {1}


@given(st.text("ab -±", max_size=30), st.integers(8, 30))
@example(" ab cd ", 9)
@example("abcd efgh", 8)
def test_a_text_that_fits_is_one_line_as_the_library_would_have_it(text: str, width: int) -> None:
    assert wrapped(text, width) == [[(line, "")] for line in textwrap.wrap(text, width) or [""]]
