"""Text that somebody typed, or that stands in a file, as a screen can show it."""

from __future__ import annotations


def printable(text: str) -> str:
    """Text that can do nothing to a terminal: what is not printable becomes a middle dot."""
    return text if text.isprintable() else "".join(char if char.isprintable() else "·" for char in text)


def printable_lines(text: str) -> str:
    """The same line by line, where a text has several."""
    return "\n".join(printable(line) for line in text.split("\n"))


def one_line(text: str) -> str:
    """Text as it is booked: one line, single spaces, nothing that is not printable."""
    return " ".join("".join(char if char.isprintable() else " " for char in text).split())
