"""How many there are of something, in words."""

from __future__ import annotations


def counted(count: int, one: str, several: str = "") -> str:
    """`0 surveys`, `1 survey`, `2 surveys`; `several` for a word that an s alone does not make more of."""
    return f"{count} {one}" if count == 1 else f"{count} {several or f'{one}s'}"
