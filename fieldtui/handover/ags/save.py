"""An AGS4 file under its name: there whole or not at all, sealed so that one somebody has worked in is known.

The seal is the SHA-256 of the file with zeros in place of the seal; it stands in TRAN_REM.
"""

from __future__ import annotations

import hashlib
import re
from datetime import datetime
from itertools import chain
from pathlib import Path

from fieldtui.handover.ags.groups import lines
from fieldtui.handover.ags.monitored import monitored
from fieldtui.handover.ags.places import places
from fieldtui.handover.ags.signs import Signs
from fieldtui.handover.ags.standing import NO_SEAL, SEAL, standing
from fieldtui.handover.part import Part
from fieldtui.handover.placing import placing
from fieldtui.progress import Progress

_SEALED = re.compile(rb"%b: ([0-9a-f]{64})" % SEAL.encode())


def save_ags(path: Path, part: Part, made: datetime, progress: Progress, *, spelt_out: bool = False) -> dict[str, int]:
    """Write the file; gives how many rows each group has. `made` is the date that it bears.

    `FieldError` where it cannot be written, and where a text has signs that AGS4 does not: each with its place.
    """
    signs, job = Signs(spelt_out=spelt_out), part.job
    rows: dict[str, int] = {}
    with placing(path, what_else) as new:
        whole = hashlib.sha256()
        seal_at = -1
        with new.open("xb") as file:
            readings = monitored(part, signs, progress)
            for group in chain(standing(job.route, made, signs), places(job, signs), [readings] if readings else []):
                for number, line in enumerate(lines(group)):
                    data = line.encode("utf-8")
                    if group.name == "TRAN" and (found := _SEALED.search(data)):
                        seal_at = file.tell() + found.start(1)
                    whole.update(data)
                    file.write(data)
                    rows[group.name] = number - 4
            signs.refuse(str(path))
            file.seek(seal_at)
            file.write(whole.hexdigest().encode())
    return rows


def what_else(path: Path) -> str:
    """What a file is, if it is not an AGS4 file as this program left it; else nothing."""
    if not path.is_file():
        return "This is no file"
    data = path.read_bytes()
    found = _SEALED.search(data)
    if found is None:
        return "This file is there already and was not made by an export"
    sealed = data[: found.start(1)] + NO_SEAL.encode() + data[found.end(1) :]
    same = hashlib.sha256(sealed).hexdigest().encode() == found[1]
    return "" if same else "Somebody has changed what an earlier export wrote"
