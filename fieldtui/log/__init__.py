"""The append-only log: bytes and hashes, nothing of tunnels.

record      one line: sealed, proved, parsed
chain       lines to a chain; what is torn, what is damaged
copies      entries given back by a resumption
stream      a file passed over once, block by block
reader      a file to its entries                  read_log -> LogFile
healing     what a resumption appends, pure
opening     create and reopen, the only places that open a file for writing
writer      the one writer                         LogWriter
folder      many logs as one                       read_folder, together
index       a folder without reading every log     read_indexed (index_file, later)
heads       what a new log must name               heads
verify      are they whole                         verify, verify_log (verdict: one file)
gather      several folders into one               gather
shortcode   the head for the field book            short_code, code_fits
stick       a copy elsewhere, space left           copy_to_stick, space_left
disk        is it a network disk                   disk_warning
calls       the system's calls, replaceable        OsCalls
identity    who writes
refusals    LogRefused, LogLocked, WriteFailed, CopyFailed
"""

from fieldtui.log.calls import OS, OsCalls
from fieldtui.log.chain import Damage, Piece
from fieldtui.log.disk import disk_warning
from fieldtui.log.folder import Fork, LogFolder, Missing, read_folder, together
from fieldtui.log.heads import heads
from fieldtui.log.identity import Identity
from fieldtui.log.reader import LogFile, read_log
from fieldtui.log.record import BOOKKEEPING, FORMAT, Record
from fieldtui.log.refusals import CopyFailed, LogLocked, LogRefused, WriteFailed
from fieldtui.log.shortcode import code_fits, code_is_well_copied, short_code
from fieldtui.log.stick import copy_to_stick, space_left
from fieldtui.log.writer import LogWriter

__all__ = [
    "BOOKKEEPING",
    "FORMAT",
    "OS",
    "CopyFailed",
    "Damage",
    "Fork",
    "Identity",
    "LogFile",
    "LogFolder",
    "LogLocked",
    "LogRefused",
    "LogWriter",
    "Missing",
    "OsCalls",
    "Piece",
    "Record",
    "WriteFailed",
    "code_fits",
    "code_is_well_copied",
    "copy_to_stick",
    "disk_warning",
    "heads",
    "read_folder",
    "read_log",
    "short_code",
    "space_left",
    "together",
]
