"""Groups of headings and rows as the lines of a file (AGS4, rules 2 to 6): every field quoted, quotes doubled, CRLF."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from decimal import Decimal

from msgspec import Struct

Field = str | Decimal | None
"""A text that has the signs of an AGS4 file, a figure, or nothing."""
Row = Sequence[Field]


class Heading(Struct, frozen=True):
    """One heading of a group, with its unit and type by the standard dictionary."""

    name: str
    type: str = "X"
    unit: str = ""


class Group(Struct, frozen=True):
    """One group. A row has a field for each heading."""

    name: str
    headings: tuple[Heading, ...]
    rows: Iterable[Row]


def lines(group: Group) -> Iterator[str]:
    """The group's lines, an empty one last."""
    yield _line(("GROUP", group.name))
    yield _line(("HEADING", *(one.name for one in group.headings)))
    yield _line(("UNIT", *(one.unit for one in group.headings)))
    yield _line(("TYPE", *(one.type for one in group.headings)))
    for row in group.rows:
        if len(row) != len(group.headings):
            raise ValueError(f"{group.name}: {len(row)} fields for {len(group.headings)} headings")
        yield _line(("DATA", *row))
    yield "\r\n"


def _line(fields: Iterable[Field]) -> str:
    return ",".join(f'"{_text(field)}"' for field in fields) + "\r\n"


def _text(field: Field) -> str:
    if field is None:
        return ""
    return f"{field:f}" if isinstance(field, Decimal) else field.replace('"', '""')
