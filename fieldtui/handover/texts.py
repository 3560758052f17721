"""What people typed, as a file can hold it: nothing dropped, nothing that acts on whoever opens it.

A sign that a file cannot hold, or that would act on a screen (control signs, line separators, signs that turn the
direction of writing, halves of a surrogate pair), stands as `\\u` and four hexadecimal digits, or `\\U` and eight. A
backslash that a reader would take for the beginning of one stands as `\\u005c`. So `original(visible(text)) == text`.
"""

from __future__ import annotations

import re

_BACKSLASH = r"\\(?=u[0-9a-f]{4}|U[0-9a-f]{8})"
_ACTING = r"\x00-\x08\x0b-\x1f\x7f-\x9f\u2028-\u202e\u2066-\u2069\ud800-\udfff\ufffe\uffff"
_ESCAPE = re.compile(r"\\u([0-9a-f]{4})|\\U([0-9a-f]{8})")

ACTING = re.compile(rf"[{_ACTING}]|{_BACKSLASH}")
"""What is written otherwise in every file: all signs that act, but tab and line end."""

RULE = (
    "In texts, a sign that acts on a screen or that the file cannot hold stands as \\u and four hexadecimal digits, or "
    "\\U and eight; a backslash before such digits stands as \\u005c."
)
"""Said in every file."""


def visible(text: str, unfit: re.Pattern[str] = ACTING) -> str:
    """A text with every sign that is `unfit` in its written form: those of `ACTING`, or a pattern made by `unfit`."""
    return unfit.sub(lambda found: "".join(_written(sign) for sign in found[0]), text)


def original(text: str) -> str:
    """The text that a visible one stands for."""
    return _ESCAPE.sub(lambda found: chr(int(found[1] or found[2], 16)), text)


def unfit(signs: str) -> re.Pattern[str]:
    """Unfit are these signs as well: `signs` as they stand within the brackets of a regular expression, or one more
    alternative after a `|` outside of them."""
    inside, _, more = signs.partition("|")
    return re.compile(rf"[{_ACTING}{inside}]|{_BACKSLASH}{'|' + more if more else ''}")


def _written(sign: str) -> str:
    number = ord(sign)
    return f"\\u{number:04x}" if number < 0x10000 else f"\\U{number:08x}"
