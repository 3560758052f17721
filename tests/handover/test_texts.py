"""What people typed: nothing dropped, and nothing that acts on whoever opens the file."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldtui.handover.texts import original, unfit, visible

PIECES = (
    "\\",
    "\\u",
    "\\u005c",
    "\\U0001f6e0",
    "\r",
    "\n",
    "\t",
    "\0",
    "\x1b",
    "\u202e",
    "\u2066",
    "\ud800",
    ",|",
    "<r>",
)
ANY = st.lists(st.characters(codec=None) | st.sampled_from(PIECES)).map("".join)


@given(ANY)
@settings(derandomize=True, max_examples=500)
def test_every_text_comes_back(text: str) -> None:
    assert original(visible(text)) == text


@given(ANY)
@settings(derandomize=True, max_examples=500)
def test_every_text_comes_back_where_a_file_holds_less(text: str) -> None:
    narrow = unfit(r"\n\t\u0100-\U0010ffff|(?<=,)\||^<(?=r>)")
    assert original(visible(text, narrow)) == text


@given(ANY)
@settings(derandomize=True, max_examples=500)
def test_nothing_acts_on_a_screen(text: str) -> None:
    shown = visible(text)
    shown.encode("utf-8")
    assert not [sign for sign in shown if ord(sign) < 32 and sign not in "\t\n"]
    assert not set(shown) & set("\x7f\x85\x9b\u2028\u2029\u202a\u202e\u2066\u2069")


@pytest.mark.parametrize("text", ["Süd, 5 °C – “über”", "C:\\user\\x", "שלום", "a\tb\nc", "🛠"])
def test_what_does_no_harm_stays_as_it_is(text: str) -> None:
    assert visible(text) == text


def test_the_written_form() -> None:
    assert visible("\x1b[31mred") == "\\u001b[31mred"
    assert visible("\\u001b") == "\\u005cu001b"
    assert visible("🛠", unfit(r"\u0100-\U0010ffff")) == "\\U0001f6e0"
