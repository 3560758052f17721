"""The route file as it was while the heading advanced: the stations that were there already."""

from __future__ import annotations

from collections.abc import Collection

_STATION = "[[station]]"


def route_text_with(text: str, stations: Collection[str]) -> str:
    """The demo's route text without the stations that are not named. Stations stand last in it, one block each."""
    head, *blocks = _blocks(text)
    return head + "".join(block for block in blocks if _name(block) in stations)


def _blocks(text: str) -> list[str]:
    blocks = [""]
    for line in text.splitlines(keepends=True):
        if line.strip() == _STATION:
            blocks.append("")
        blocks[-1] += line
    return blocks


def _name(block: str) -> str:
    """The station's name: the first `name` of its block."""
    line = next(line for line in block.splitlines() if line.startswith("name ="))
    return line.split('"')[1]
