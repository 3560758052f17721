"""Tables to the text of a route file: `tomli_w` writes the values, the headings and remarks are ours.

Every table has its header, so that what is added at the end can belong to nothing before it. Anchors and chords stand
as one line each in their station.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import tomli_w

from fieldtui.laying import parts
from fieldtui.laying.asking import Given
from fieldtui.laying.parts import Table
from fieldtui.laying.questions import groups_of

_START = "a start, the job's to change"
_REACH = ("standing_reach", "pole")


def route_text(given: Given) -> str:
    """The whole of a new route, as far as it was answered."""
    top = parts.top(given)
    reach = {key: top.pop(key) for key in _REACH if key in top}
    pieces = [
        f"# A route of chords to be read with a tape extensometer. It may be changed by hand, and checked.\n"
        f"{tomli_w.dumps(top)}",
        f"# what is hooked without a platform; {_START}\n{tomli_w.dumps(reach)}",
        _table("uncertainty", parts.uncertainty(given), f"standard uncertainties; {_START}, by what was measured"),
        *_lists("face", parts.faces(given), "advancing ends; stations name theirs"),
        *_lists("tape", parts.tapes(given), "lengths by the tape's own certificate"),
        *_lists("extensometer", parts.extensometers(given), ""),
        *_lists("control", parts.frames(given), "read before and after every survey"),
        *_lists("level", parts.levels(given), "mild to severe"),
        *_lists("frequency", parts.frequencies(given), f"widths from the face, movement a day; {_START}"),
        *(_table("stability", one, f"when a chord is called at rest; {_START}") for one in parts.rests(given)),
        *_lists("care", parts.care(given), f"{_START} by the instrument's own instructions"),
        *_lists("plant", parts.plant(given), "where it stands while chords are read"),
        *_stations(given),
    ]
    return "\n".join(pieces)


def added_text(given: Given) -> str:
    """What is added to a route that is there already."""
    pieces = [
        *_lists("tape", parts.tapes(given), ""),
        *_lists("extensometer", parts.extensometers(given), ""),
        *_lists("level", parts.levels(given), ""),
        *_lists("plant", parts.plant(given), "where it stands while chords are read"),
        *_stations(given),
    ]
    return "\n".join(pieces)


def put_behind(text: str, added: str) -> str:
    """A text with another at its end; what stands there stays as it is, and so does its way to end a line."""
    if not added:
        return text
    ends = "\r\n" if "\r\n" in text else "\n"
    gap = "\n" if text.endswith("\n") else "\n\n"
    return text + (gap + added).replace("\n", ends)


def _stations(given: Given) -> Iterator[str]:
    for at in groups_of(given):
        yield from _lists("station", parts.stations(given, at), "")


def _lists(name: str, tables: Iterable[Table], remark: str) -> Iterator[str]:
    for place, table in enumerate(tables):
        yield headed(f"[[{name}]]", table, remark if place == 0 else "")


def _table(name: str, table: Table, remark: str) -> str:
    return headed(f"[{name}]", table, remark)


def headed(header: str, table: Table, remark: str = "") -> str:
    """A table under its header, with a remark above it."""
    above = f"# {remark}\n" if remark else ""
    return f"{above}{header}\n{tomli_w.dumps(table)}"
