"""The signs of an AGS4 file (rule 1): ASCII, and letters up to U+00FF, which the group's own checker takes.

A text with other signs is refused and its place named; with `spelt_out` each such sign stands as its number, and can
be turned back (`handover.texts`). Signs that act, and line ends within a text (rule 6), stand as their numbers always.
"""

from __future__ import annotations

import re
import unicodedata

from fieldtui.errors import FieldError
from fieldtui.handover.texts import ACTING, unfit, visible

# the group's checker takes a bar after a comma for a quotation mark, and the field for a broken one
_UNFIT = unfit(r"\t\n\u0100-\U0010ffff|(?<=,)\|")
_STRANGE = re.compile(r"[\u0100-\U0010ffff]")
_NAMED = 8


class Signs:
    """Turns texts into fields and remembers those that cannot be one."""

    def __init__(self, *, spelt_out: bool) -> None:
        self._spelt_out = spelt_out
        self._refused: list[str] = []

    def field(self, text: str, where: str) -> str:
        """The text as a field holds it; `where` says where it stands, for the refusal."""
        if not self._spelt_out:
            strange = sorted(set(_STRANGE.findall(ACTING.sub("", text))))
            if strange:
                self._refused.append(f"{visible(where)}: {', '.join(_named(sign) for sign in strange[:3])}")
        return visible(text, _UNFIT)

    def refuse(self, path: str) -> None:
        """`FieldError` that names the places of texts that could not be taken, if there were any."""
        if not self._refused:
            return
        more = f"\n  and {len(self._refused) - _NAMED} more" if len(self._refused) > _NAMED else ""
        places = "".join(f"\n  {place}" for place in self._refused[:_NAMED])
        raise FieldError(
            f"AGS4 has no such signs; nothing was written:{places}{more}\n",
            where=path,
            todo="Change them in the route file; or add --spell-out: each is then written as \\u and its number, and "
            "can be turned back.",
        )


def _named(sign: str) -> str:
    return f"“{sign}” ({unicodedata.name(sign, 'no name')}, U+{ord(sign):04X})"
