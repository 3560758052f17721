"""Every length of a report against the raw figures of the CSV export: `python compare.py REPORT.html FOLDER`.

Imports nothing of ours. The lengths are recomputed by `recompute.py`, beside the tests of the export; a row of the
report is found by station, chord, time to the minute, hole and dials as typed.
"""

import importlib.util
import sys
from collections import Counter
from decimal import Decimal
from html.parser import HTMLParser
from pathlib import Path

TOLERANCE = Decimal("0.001")


class Tables(HTMLParser):
    """Rows of the tables of figures: (station, chord, {heading: text})."""

    def __init__(self):
        super().__init__(convert_charrefs=True)
        self.rows, self.heads, self.cells, self.names = [], [], [], []
        self.inside = self.title = self.named = self.cell = False

    def handle_starttag(self, tag, attrs):
        attrs = dict(attrs)
        if tag == "h3":
            self.title, self.names = True, []
        elif tag == "bdi" and self.title:
            self.names.append("")
            self.named = True
        elif tag == "table":
            self.inside, self.heads = "figures" in attrs.get("class", ""), []
        elif tag == "tr" and self.inside:
            self.cells = []
        elif tag in ("th", "td") and self.inside:
            self.cells.append("")
            self.cell = True
        elif tag == "br" and self.cell:
            self.cells[-1] += " "

    def handle_endtag(self, tag):
        if tag == "h3":
            self.title = self.named = False
        elif tag == "bdi":
            self.named = False
        elif tag in ("th", "td"):
            self.cell = False
        elif tag == "table":
            self.inside = False
        elif tag == "tr" and self.inside and not self.heads:
            self.heads = self.cells
        elif tag == "tr" and self.inside and len(self.cells) == len(self.heads):
            self.rows.append((*self.names, dict(zip(self.heads, self.cells, strict=True))))

    def handle_data(self, data):
        if self.named:
            self.names[-1] += data
        elif self.cell:
            self.cells[-1] += data


def recomputed(folder):
    path = Path(__file__).parents[1] / "recompute.py"
    spec = importlib.util.spec_from_file_location("recompute", path)
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module.recompute(folder)


def compare(report, folder):
    """(rows compared, rows of the export that the report lacks, largest difference)."""
    page = Tables()
    page.feed(Path(report).read_text(encoding="utf-8"))
    stands = {}
    for station, chord, row in page.rows:
        dials = tuple(Decimal(one.replace(",", ".")) for one in row["dials as typed"].split() if one != "–")
        key = (station, chord, row["read, survey"][:16], row["hole"], dials)
        stands.setdefault(key, []).append(Decimal(row["length"].split()[0]))
    compared, lacking, worst = 0, Counter(), Decimal(0)
    for row, length in recomputed(folder):
        if not row["station"]:
            continue
        dials = tuple(Decimal(row[f"dial_{n}"]) for n in range(1, 6) if row[f"dial_{n}"])
        key = (row["station"], row["chord"], row["time"][:16].replace("T", " "), row["hole"], dials)
        found = stands.get(key)
        if not found:
            lacking[key] += 1
            continue
        compared += 1
        worst = max(worst, abs(found.pop(0) - length))
    return compared, sum(lacking.values()), worst


if __name__ == "__main__":
    compared, lacking, worst = compare(*sys.argv[1:3])
    print(f"{compared} lengths compared, {lacking} not in the report, largest difference {worst:.6f}")
    sys.exit(worst > TOLERANCE or lacking > 0 or compared == 0)
