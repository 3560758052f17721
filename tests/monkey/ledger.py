"""The logs of a folder as their bytes stand on the disk, read on as they grow: whole, chained, and never less."""

from __future__ import annotations

from dataclasses import dataclass, field
from hashlib import sha256
from pathlib import Path

from fieldtui.log import BOOKKEEPING, Record
from fieldtui.log.chain import Chain
from fieldtui.log.record import parse


@dataclass
class Pages:
    """One file of the ledger: its chain so far, and its entries."""

    path: Path
    chain: Chain = field(default_factory=Chain)
    records: list[Record] = field(default_factory=list)
    read: int = 0
    proof: bytes = b""
    """SHA-256 of the bytes read, as they were when they were looked at whole last, and how many those were."""
    proved: int = 0

    def read_on(self) -> list[Record]:
        """The entries that came since. AssertionError where bytes are gone, or are no record."""
        size = self.path.stat().st_size
        assert size >= self.read, f"{self.path.name} has {size} bytes, and had {self.read} before"
        if size == self.read:
            return []
        with self.path.open("rb") as file:
            file.seek(self.read)
            new = file.read()
        end = new.rfind(b"\n") + 1  # what stands behind it is a record that was not finished
        found: list[Record] = []
        start = self.read
        for line in new[:end].splitlines(keepends=True):
            found += [parse(one) for one in self.chain.take(line.rstrip(b"\n"), start)]
            start += len(line)
        self.read += end
        assert not self.chain.problems, f"{self.path.name}: {self.chain.problems}"
        self.records += found
        return found

    def prove(self) -> None:
        """Look at all bytes again: what was read before stands there unchanged."""
        content = self.path.read_bytes()
        if self.proof:
            assert sha256(content[: self.proved]).digest() == self.proof, f"{self.path.name} was changed"
        whole = content[: self.read]
        self.proof, self.proved = sha256(whole).digest(), len(whole)

    @property
    def entries(self) -> list[Record]:
        return [record for record in self.records if record.kind not in BOOKKEEPING]


class Ledger:
    """All logs of a folder."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.pages: dict[Path, Pages] = {}

    def read_on(self) -> dict[Path, list[Record]]:
        """The entries that came since, by file. AssertionError where something is lost or wrong."""
        if not self.folder.is_dir():
            return {}
        there = {path for path in self.folder.iterdir() if path.suffix == ".jsonl"}
        gone = self.pages.keys() - there
        assert not gone, f"gone from the folder: {sorted(path.name for path in gone)}"
        for path in there - self.pages.keys():
            self.pages[path] = Pages(path)
        new = {path: pages.read_on() for path, pages in self.pages.items()}
        return {path: records for path, records in new.items() if records}

    def prove(self) -> None:
        """All bytes of all files, once more."""
        for pages in self.pages.values():
            pages.prove()

    @property
    def entries(self) -> int:
        """How many entries the folder holds."""
        return sum(len(pages.entries) for pages in self.pages.values())
