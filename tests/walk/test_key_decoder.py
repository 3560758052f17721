"""Bytes that are no text, or no key, never silence the keyboard: what is typed after them counts."""

from __future__ import annotations

import pytest
from textual import events

from fieldtui.tui.key_decoder import KeyDecoder


def typed(decoder: KeyDecoder, data: bytes) -> str:
    """The characters that these bytes type."""
    return "".join(event.character or "" for event in decoder.feed(data) if isinstance(event, events.Key))


@pytest.mark.parametrize(
    "junk", [b"\xe9", b"\xc3", b"\xf0\x9f", b"\x1b[999999999999u", b"\x1b[1114112u", b"\xff\xfe", b"\x9b", b"\x00"]
)
def test_a_figure_typed_after_junk_is_whole(junk: bytes) -> None:
    """0xE9 alone is what a terminal that is not UTF-8 sends for “é”."""
    decoder = KeyDecoder()
    typed(decoder, junk)
    typed(decoder, b"|")
    assert typed(decoder, b"12.34") == "12.34"


def test_a_character_may_come_in_two_halves() -> None:
    decoder = KeyDecoder()
    assert typed(decoder, "µ".encode()[:1]) == ""
    assert typed(decoder, "µ".encode()[1:]) == "µ"


def test_keys_behind_a_bad_code_in_the_same_write_count() -> None:
    assert typed(KeyDecoder(), b"3\x1b[1114112u20") == "320"


def test_a_paste_without_an_end_is_left_by_ctrl_c() -> None:
    decoder = KeyDecoder()
    assert typed(decoder, b"\x1b[200~12.34") == ""
    assert typed(decoder, b"\r") == ""
    assert typed(decoder, b"\x03") == "\x03"
    assert typed(decoder, b"320") == "320"


def test_ctrl_c_inside_a_paste_is_part_of_it() -> None:
    (pasted,) = [event for event in KeyDecoder().feed(b"\x1b[200~a\x03b\x1b[201~") if isinstance(event, events.Paste)]
    assert pasted.text == "a\x03b"
