"""A small text file off the disk, or plain words why it cannot be read."""

from __future__ import annotations

from pathlib import Path

BOM = "\ufeff"
LARGEST = 4_000_000
"""Bytes; a route of a thousand stations has a tenth of it. What is larger is something else by a slip."""


class Unreadable(Exception):
    """A file that cannot be read; `what` and `todo` in plain words, `line` where it stops being text (else 0)."""

    def __init__(self, what: str, todo: str, line: int = 0) -> None:
        super().__init__(what)
        self.what = what
        self.todo = todo
        self.line = line


def read_text(path: Path) -> str:
    """The text of a UTF-8 file, without a byte order mark, line ends as they stand. Raises `Unreadable`."""
    try:
        if path.is_file() and path.stat().st_size > LARGEST:
            raise Unreadable(f'"{path.name}" is too large for a text of a route', "look at the name")
        data = path.read_bytes()
    except FileNotFoundError as error:
        raise Unreadable(f'there is no file "{path.name}" in {_folder(path)}', "look at the name") from error
    except IsADirectoryError as error:
        raise Unreadable(f'"{path.name or path}" is a folder', f"name the file in it{_inside(path)}") from error
    except PermissionError as error:
        raise Unreadable(f'"{path.name}" may not be read', "ask for the right to read it") from error
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise Unreadable(f'"{path.name}" cannot be read ({reason})', "look at the disk and the name") from error
    try:
        return data.decode("utf-8").removeprefix(BOM)
    except UnicodeDecodeError as error:
        if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
            raise Unreadable(f'"{path.name}" is saved as UTF-16', "save it as UTF-8", 1) from error
        line = data.count(b"\n", 0, error.start) + 1
        raise Unreadable(f'"{path.name}" is not UTF-8 from here on', "save it as UTF-8", line) from error


def _folder(path: Path) -> str:
    return "this folder" if str(path.parent) == "." else str(path.parent)


def _inside(path: Path) -> str:
    """The route files in a folder, to choose from."""
    found = sorted(one.name for one in path.glob("*.toml"))[:5]
    return f": {', '.join(found)}" if found else ""
