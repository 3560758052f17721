"""Bytes of a terminal to keys and pastes, whatever the bytes are: none of them silences the keyboard.

The library's parser stops for good at an empty text (which half a character gives) and at key codes that are no
character. Here half a character waits for its other half, and after a bad code the next key counts again.
"""

from __future__ import annotations

from codecs import getincrementaldecoder
from collections.abc import Iterator

from textual._xterm_parser import XTermParser
from textual.message import Message

_GIVE_UP = "\x03"
"""Ctrl+C, come alone: leaves a paste of which the end was lost on the line."""
_PASTE_BEGINS, _PASTE_ENDS = "\x1b[200~", "\x1b[201~"


class KeyDecoder:
    """What was typed so far and is not told yet is kept in the parser."""

    def __init__(self) -> None:
        self._decode = getincrementaldecoder("utf-8")(errors="replace").decode
        self._parser = XTermParser()
        self._last = ""
        """The last characters that came, enough to see a paste begin."""
        self._pasting = False

    def feed(self, data: bytes) -> Iterator[Message]:
        """What these bytes bring about, in order."""
        text = self._decode(data)
        if self._pasting and text == _GIVE_UP:
            self._parser, self._pasting = XTermParser(), False
        for character in text:
            self._last = (self._last + character)[-len(_PASTE_BEGINS) :]
            self._pasting = self._last == _PASTE_BEGINS or (self._pasting and self._last != _PASTE_ENDS)
            try:
                yield from self._parser.feed(character)
            except (ValueError, OverflowError):
                self._parser = XTermParser()

    def tick(self) -> Iterator[Message]:
        """What is due since nothing more came: an Esc that was a key by itself. Asked ten times a second or so."""
        try:
            yield from self._parser.tick()
        except (ValueError, OverflowError):
            self._parser = XTermParser()
