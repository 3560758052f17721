"""The rules of many logs, each broken; as in `broken`."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from msgspec.structs import replace

from faultlab.broken import Variant, put
from fieldtui.log import LogFile, OsCalls, folder, gather, opening, shortcode, verdict
from fieldtui.log.chain import Chain, Damage


def _names_nothing() -> Variant:
    right = opening.create

    def create(*given: Any, continues: Any = None, **named: Any) -> Any:
        return right(*given, **named)

    return put(opening, "create", create)


def _continues_at(seq: int) -> Variant:
    right = opening.create

    def create(*given: Any, continues: Any = None, **named: Any) -> Any:
        wrong = {**continues, "seq": continues["seq"] + seq} if continues else continues
        return right(*given, continues=wrong, **named)

    return put(opening, "create", create)


def _witnesses_nothing() -> Variant:
    right = opening.create

    def create(*given: Any, after: Any = (), **named: Any) -> Any:
        return right(*given, after=[], **named)

    return put(opening, "create", create)


def _gives_way(self: gather.Copy, other: gather.Copy) -> bool:
    return self.digest != other.digest and (self.size, self.digest) > (other.size, other.digest)


def _place_as_called(self: gather._Settling, one: gather.Copy, *, alone: bool) -> Path:
    return self.into / one.path.name


def _source_taken_away() -> Variant:
    right = gather._Settling._put

    def moved(self: gather._Settling, one: gather.Copy, place: Path) -> None:
        right(self, one, place)
        if not one.here:
            one.path.unlink()

    return put(gather._Settling, "_put", moved)


def _longest_of_a_fork() -> Variant:
    def settle(self: gather._Settling, copies: Sequence[gather.Copy]) -> None:
        longest = max(copies, key=lambda one: one.size)
        place = self._place(longest, alone=True)
        if longest.path != place:
            self._put(longest, place)
            self.new.append(longest.stem)

    return put(gather._Settling, "settle", settle)


def _fits_by_its_beginning(code: str, h: str) -> bool:
    return shortcode._plain(code)[:8] == shortcode._plain(shortcode.short_code(h))[:8]


def _any_record_fits(path: Path, passed: Any, code: str | None, calls: OsCalls) -> str | None:
    from fieldtui.log import read_log

    return "fits" if code and any(shortcode.code_fits(code, h) for _, h in read_log(path).chain) else None


def _somewhere() -> Variant:
    """Damage that is told, and not where it is."""
    right = Chain.finish

    def finish(self: Chain, tail: bytes, start: int) -> list[bytes]:
        taken = right(self, tail, start)
        self.problems = [Damage(0, 0, 0, 0, one.what) for one in self.problems]
        return taken

    return put(Chain, "finish", finish)


def _misnames_the_piece() -> Variant:
    from fieldtui.log import healing

    right = healing.resumption

    def resumption(log: LogFile, *given: Any) -> Any:
        if log.piece is not None:
            log = replace(log, piece=replace(log.piece, offset=log.piece.offset + 1))
        return right(log, *given)

    return put(opening, "resumption", resumption)


CONTINUES_NOTHING = _names_nothing()
CONTINUES_BEYOND = _continues_at(1)
WITNESSES_NOTHING = _witnesses_nothing()
MISSING_UNTOLD = put(folder, "missing_heads", lambda files, hash_at: iter(()))
SHORTER_KEPT = put(gather.Copy, "gives_way_to", _gives_way)
FORK_FOLDED = put(folder, "parting", lambda same: None)
LONGEST_OF_A_FORK = _longest_of_a_fork()
NAMED_AS_CALLED = put(gather._Settling, "_place", _place_as_called)
SOURCE_TAKEN_AWAY = _source_taken_away()
SLIP_UNSEEN = put(verdict, "code_is_well_copied", lambda code: True)
CONFUSED_LETTERS = put(shortcode, "READ_AS", str.maketrans({" ": None, "-": None}))
FITS_BY_ITS_BEGINNING = put(shortcode, "code_fits", _fits_by_its_beginning)
ANY_RECORD_FITS = put(verdict, "_answer", _any_record_fits)
DAMAGE_SOMEWHERE = _somewhere()
PIECE_MISNAMED = _misnames_the_piece()
