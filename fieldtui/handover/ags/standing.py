"""What an AGS4 file says of itself: project, transmission, types, units, abbreviations.

Codes and their descriptions are those of the standard dictionary, edition 4.1.1; the two that it does not have are
ours, and ABBR_LIST says so.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from fieldtui import __version__
from fieldtui.handover.ags.groups import Group, Heading
from fieldtui.handover.ags.signs import Signs
from fieldtui.handover.texts import RULE
from fieldtui.route import Route

EDITION = "4.1.1"
SEAL = "SHA-256 of this file with zeros in place of it"
NO_SEAL = "0" * 64
LENGTH, NO_FIGURE = "CLEN", "NFIG"
_OURS = "fieldtui"
_ABBREVIATIONS = (
    ("LOCA_TYPE", "INST", "instrument", "AGS4", "A station: a section with anchors"),
    ("MONG_TYPE", "ETT", "Tape Extensometer", "AGS4", "A chord between two anchors"),
    ("MOND_TYPE", LENGTH, "Corrected length between two anchors", _OURS, "From the mean or median of the repeats"),
    ("MOND_TYPE", "DSPA", "Displacement in direction A", "AGS4", "Change of length since the baseline"),
    ("MOND_TYPE", "DSTL", "Distance", "AGS4", "One repeat, not corrected: hole distance and dial"),
    ("MOND_TYPE", NO_FIGURE, "Booked without a length", _OURS, "Not read, or not to be worked out; MOND_REM says why"),
    ("MOND_TYPE", "STAT", "Status", "AGS4", "Against the route's trigger levels: 0 below, 1 cannot tell, 2 above"),
    ("MOND_TYPE", "TEMP", "Atmospheric temperature", "AGS4", "Here the temperature of the tape"),
    ("MOND_TYPE", "VEL", "Velocity", "AGS4", "Rate of the change of length"),
)
_TYPES = (
    ("2DP", "Value; required number of decimal places, 2"),
    ("DT", "Date time in international format"),
    ("ID", "Unique Identifier"),
    ("PA", "Text listed in ABBR Group"),
    ("PU", "Text listed in UNIT Group"),
    ("X", "Text"),
    ("XN", "Text/numeric"),
)
_DEGREES = {"degC": ("DegC", "degree Celsius"), "degF": ("DegF", "degree Fahrenheit")}
_METRE = ("m", "metre")
"""The depth of a MONG is in it, whatever the route's units."""
_ANY = (
    ("UNITLESS", "No unit"),
    ("yyyy-mm-dd", "year month day"),
    ("yyyy-mm-ddThh:mm:ss", "year month day hours minutes seconds"),
)


def standing(route: Route, made: datetime, signs: Signs) -> Iterator[Group]:
    """The groups in front of the job's own. `made` is the date that the file bears."""
    name = route.path.stem if route.path is not None else "route"
    about = "Convergence by tape extensometer. Levels are the route's figures and say nothing of the ground."
    project = (signs.field(name, "name of the route file"), signs.field(route.name, "name of the route"), about)
    yield Group("PROJ", (Heading("PROJ_ID", "ID"), Heading("PROJ_NAME"), Heading("PROJ_MEMO")), [project])
    yield _transmission(made)
    yield Group("TYPE", (Heading("TYPE_TYPE"), Heading("TYPE_DESC")), _TYPES)
    yield Group("UNIT", (Heading("UNIT_UNIT"), Heading("UNIT_DESC")), (*_own_units(route), *_ANY))
    names = ("ABBR_HDNG", "ABBR_CODE", "ABBR_DESC", "ABBR_LIST", "ABBR_REM")
    yield Group("ABBR", tuple(Heading(one) for one in names), _ABBREVIATIONS)


def _own_units(route: Route) -> tuple[tuple[str, str], ...]:
    units = route.units
    (one, many), (large, _) = units.words
    told = {_DEGREES[units.degree], (units.large, large), (units.small, one), _METRE}
    return tuple(sorted({*told, (f"{units.small}/day", f"{many} per day")}))


def _transmission(made: datetime) -> Group:
    remark = (
        f"Times are UTC. Negative is closing. Uncertainties are standard (k = 1). Text is UTF-8. {RULE} "
        f"{SEAL}: {NO_SEAL}"
    )
    said = {
        "TRAN_ISNO": "1",
        "TRAN_DATE": f"{made.date().isoformat()}",
        "TRAN_PROD": "Not stated",
        "TRAN_STAT": "Draft",
        "TRAN_DESC": f"Readings as booked and as reduced; written by fieldtui {__version__}. The date is that of the "
        "last reading, else of the last entry; or the day that was asked for.",
        "TRAN_AGS": EDITION,
        "TRAN_RECV": "Not stated",
        "TRAN_DLIM": "|",
        "TRAN_RCON": "+",
        "TRAN_REM": remark,
    }
    date = Heading("TRAN_DATE", "DT", "yyyy-mm-dd")
    headings = tuple(date if name == "TRAN_DATE" else Heading(name) for name in said)
    return Group("TRAN", headings, [tuple(said.values())])
