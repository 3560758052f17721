"""The one tree of errors that a person may meet.

    FieldError                  what happened, where, what to do
    ├── route.RouteRefused      a route file with mistakes, all of them, each with its line
    ├── log.LogRefused          a log that cannot be opened for writing or read
    ├── log.WriteFailed         a record that did not reach the disk
    ├── log.CopyFailed          a copy of a log that could not be made
    └── survey.EntryRefused     a figure that cannot be booked as it was typed

Every command turns a FieldError into its sentences and exit status 2; a traceback is a fault of the program.
"""


class FieldError(Exception):
    """Something a person can do something about.

    `what` is a whole sentence; `where` names file, line, key or prompt; `todo` says what to do about it.
    """

    def __init__(self, what: str, *, where: str = "", todo: str = "") -> None:
        super().__init__(what)
        self.what = what
        self.where = where
        self.todo = todo

    def __str__(self) -> str:
        told = f"{self.where}: {self.what}" if self.where else self.what
        return f"{told} {self.todo}" if self.todo else told
