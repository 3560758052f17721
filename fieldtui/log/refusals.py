"""What the log refuses, and what it cannot do.

LogRefused      a log that cannot be opened for writing, or cannot be read
└── LogLocked   another program has it open, and which
WriteFailed     a record that did not reach the disk; the figures are still the caller's to show
CopyFailed      a copy that could not be made; the log itself is as it was
"""

from __future__ import annotations

from fieldtui.errors import FieldError


class LogRefused(FieldError):
    """A log that cannot be opened for writing, or cannot be read."""


class LogLocked(LogRefused):
    """A log that another program has open; the holder is told from the log's own records."""

    def __init__(self, *, machine: str, pid: int, user: str, where: str) -> None:
        super().__init__(
            f"The log is open in another program: user {user or 'unknown'}, process {pid}, "
            f"machine {machine or 'unknown'}.",
            where=where,
            todo="Close it there first, or start a new survey here.",
        )
        self.machine = machine
        self.pid = pid
        self.user = user


class WriteFailed(FieldError):
    """A record that did not reach the disk; its file takes no more records."""


class CopyFailed(FieldError):
    """A copy of a log that could not be made. The log itself is as it was."""
