"""The blank sheet as one HTML file to print: no script, no reference to anything outside, on A4 and on Letter.

It is filled with a pen in the tunnel, so cells are high, every row says its station, and what is to be heeded at a
station stands above its rows.
"""

from __future__ import annotations

from collections.abc import Iterator
from html import escape
from itertools import groupby

from fieldtui.paper.blank import BlankRow, blank_rows
from fieldtui.route import Route
from fieldtui.survey import FRAME
from fieldtui.survey.words import CAUTIONS

_STYLE = """
@page { margin: 14mm 12mm; }
* { box-sizing: border-box; }
body { font: 10pt/1.3 system-ui, "Helvetica Neue", Arial, sans-serif; color: #000; background: #fff; margin: 0 auto;
  max-width: 186mm; }
h1 { font-size: 14pt; margin: 0 0 2mm; }
p, ul { margin: 0 0 2mm; }
ul { columns: 2; padding-left: 5mm; }
table { border-collapse: collapse; width: 100%; table-layout: fixed; }
thead { display: table-header-group; }
tr { break-inside: avoid; }
th, td { border: 0.3mm solid #000; padding: 0.6mm 1.2mm; text-align: left; vertical-align: middle;
  overflow-wrap: anywhere; }
tbody td { height: 8.5mm; }
thead th { font-size: 8.5pt; border-bottom-width: 0.6mm; }
tr.station th { border-top-width: 0.6mm; background: #fff; height: auto; }
tr.station, tr.station + tr { break-after: avoid; }
.caution { font-weight: 700; }
.fields { display: grid; grid-template-columns: repeat(3, 1fr); gap: 3mm 6mm; margin: 0 0 3mm; }
.fields span { border-bottom: 0.3mm solid #000; padding-top: 4mm; font-size: 8.5pt; }
.sign { display: grid; grid-template-columns: 1fr 1fr; gap: 8mm 10mm; margin-top: 10mm; break-inside: avoid; }
.sign span { border-top: 0.3mm solid #000; padding-top: 1mm; font-size: 8.5pt; }
@media screen { body { padding: 8mm; } }
"""

_POLICY = "default-src 'none'; style-src 'unsafe-inline'"
_WIDTHS = (17, 11, 9, 10, 10, 10, 10, 23)


def blank_html(route: Route) -> str:
    """The sheet of a route, whole."""
    title = escape(f"Booking sheet: {route.name}")
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{_POLICY}">\n'
        f"<title>{title}</title>\n<style>{_STYLE}</style>\n</head>\n<body>\n"
        + "\n".join(_body(route))
        + "\n</body>\n</html>\n"
    )


def _body(route: Route) -> Iterator[str]:
    yield f"<h1>{escape(route.name)}</h1>"
    yield _fields(route)
    yield "<p>Before anyone goes in:</p>"
    yield "<ul>" + "".join(f"<li>{escape(caution)}</li>" for caution in CAUTIONS) + "</ul>"
    yield (
        "<p>Three dial readings a chord, slackened and tensioned again between them. Not read: write blocked, lost, "
        "buried, unsafe or other into the note (typed off: column outcome). Strike out what is wrong so that it stays "
        "legible; write the new figure beside it.</p>"
    )
    yield "<table>"
    yield "<colgroup>" + "".join(f'<col style="width:{width}%">' for width in _WIDTHS) + "</colgroup>"
    yield _head(route)
    for _, rows in groupby(blank_rows(route), key=lambda row: row.station or row.chord):
        first, *more = rows
        yield "<tbody>"
        yield _heading(route, first)
        yield from (_row(row) for row in (first, *more))
        yield "</tbody>"
    yield "</table>"
    yield from _closed(route)
    yield _SIGN


def _fields(route: Route) -> str:
    tapes = ", ".join(tape.serial for tape in route.tapes)
    extensometers = ", ".join(one.serial for one in route.extensometers)
    asked = [
        "Survey",
        "Date",
        "Stage of construction",
        "Reader",
        "Recorder",
        f"Tape ({tapes})",
        f"Extensometer ({extensometers})",
        *(f"Chainage of face {face.name} ({route.units.large})" for face in route.faces),
    ]
    return '<div class="fields">' + "".join(f"<span>{escape(one)}</span>" for one in asked) + "</div>"


def _head(route: Route) -> str:
    small, degree = route.units.small, route.units.degree
    names = (
        "Chord",
        f"Time ({route.time_zone})",
        "Hole",
        f"Dial 1 ({small})",
        f"Dial 2 ({small})",
        f"Dial 3 ({small})",
        f"Tape ({degree})",
        "Note",
    )
    return "<thead><tr>" + "".join(f'<th scope="col">{escape(name)}</th>' for name in names) + "</tr></thead>"


def _heading(route: Route, row: BlankRow) -> str:
    """What stands above a station's rows, or above the dial zero and the control frame."""
    station = row.station
    if station is None:
        told = (
            f"Control frame: {route.controls[0].name}" if row.chord == FRAME else "Dial zero, in the first dial column"
        )
        caution = ""
    else:
        told = f"Station {station.name}, chainage {station.chainage:f} {route.units.large}"
        caution = f' <span class="caution">&#9888; {escape(station.caution)}</span>' if station.caution else ""
    return f'<tr class="station"><th colspan="{len(_WIDTHS)}" scope="rowgroup">{escape(told)}{caution}</th></tr>'


def _row(row: BlankRow) -> str:
    name = f"{row.station.name} {row.chord}" if row.station is not None else row.chord
    return f'<tr><th scope="row">{escape(name)}</th>' + "<td></td>" * (len(_WIDTHS) - 1) + "</tr>"


def _closed(route: Route) -> Iterator[str]:
    for station in route.stations:
        if station.closed:
            note = f": {station.note}" if station.note else ""
            yield f"<p>{escape(f'Station {station.name} is closed{note}')}.</p>"


_SIGN = '<div class="sign"><span>Reader: name, signature, date</span><span>Recorder: name, signature, date</span></div>'
