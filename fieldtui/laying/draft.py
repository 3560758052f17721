"""What was answered so far, kept beside the route file: a kill loses the text being typed and nothing else.

After every answer, and every step back, the whole draft is written anew: beside the old one, synced, then put in its
place, so that one of the two is always whole. It is taken away once the route is written.
"""

from __future__ import annotations

import json
import os
from pathlib import Path

from msgspec import Struct, field

from fieldtui.errors import FieldError

_FORM = 1


class Draft(Struct, frozen=True):
    """Answers in order, and what was answered before a step back: offered again, nothing more."""

    answers: tuple[tuple[str, str], ...] = ()
    earlier: dict[str, str] = field(default_factory=dict)

    @property
    def given(self) -> dict[str, str]:
        return dict(self.answers)

    def with_answer(self, key: str, value: str) -> Draft:
        return Draft((*self.answers, (key, value)), {**self.earlier, key: value})

    def back(self) -> Draft:
        """Without the last answer."""
        return Draft(self.answers[:-1], self.earlier)


def draft_path(route: Path) -> Path:
    """Where the draft of a route is kept."""
    return route.with_name(f"{route.name}.draft")


def keep(route: Path, draft: Draft) -> None:
    """Write the draft. `FieldError` where the disk does not take it."""
    path = draft_path(route)
    beside = path.with_name(f"{path.name}.new")
    text = json.dumps(
        {"draft": _FORM, "answers": draft.answers, "earlier": draft.earlier}, ensure_ascii=False, indent=1
    )
    try:
        with beside.open("w", encoding="utf-8", newline="\n") as file:
            file.write(text)
            file.flush()
            os.fsync(file.fileno())
        beside.replace(path)
    except OSError as error:
        why = error.strerror or str(error)
        raise FieldError(
            f"The draft is NOT KEPT: {why}.", where=str(path), todo="Go on, or make room first."
        ) from error


def kept(route: Path) -> Draft | None:
    """The draft of a route; None without one. `FieldError` for one that cannot be read."""
    path = draft_path(route)
    try:
        read = json.loads(path.read_text(encoding="utf-8"))
        if read["draft"] != _FORM:
            raise ValueError
        answers = tuple((str(key), str(value)) for key, value in read["answers"])
        return Draft(answers, {str(key): str(value) for key, value in read["earlier"].items()})
    except FileNotFoundError:
        return None
    except (OSError, ValueError, KeyError, TypeError, AttributeError) as error:
        todo = "Take the file away to begin anew."
        raise FieldError("This draft of a route cannot be read.", where=str(path), todo=todo) from error


def drop(route: Path) -> None:
    """Take the draft away: it is done with."""
    draft_path(route).unlink(missing_ok=True)
