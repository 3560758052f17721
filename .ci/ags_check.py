"""Errors and warnings that the AGS working group's checker finds in every .ags file of a folder.

Run by `.ci/ags` in the checker's own environment. What the checker does not look at is looked at here: whether every
reading is a number or empty, and whether a row without one says why.
"""

import csv
import logging
import re
import sys
from collections import Counter
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

from python_ags4 import AGS4

NUMBER = re.compile(r"-?\d+(\.\d+)?")


def found(path):
    """(errors, warnings, further remarks, own findings, rows of MOND) of one file."""
    logging.disable(logging.CRITICAL)
    told = AGS4.check_file(str(path))
    kinds = Counter()
    for rule, places in told.items():
        if rule.startswith(("AGS Format Rule", "Validator", "General")):
            kinds["errors"] += len(places)
        elif rule.startswith("Warning"):
            kinds["warnings"] += len(places)
        elif rule.startswith("FYI"):
            kinds["remarks"] += len(places)
        elif rule not in ("Metadata", "Summary of data"):
            kinds["errors"] += 1
    for rule in told:
        if rule.startswith(("AGS Format", "Validator", "General", "Warning")):
            print(path.name, rule, told[rule][:2])
    return kinds + Counter(own(path))


def own(path):
    """What is wrong with the readings."""
    heading, rows, wrong = [], 0, 0
    with path.open(encoding="utf-8", newline="") as file:
        for row in csv.reader(file):
            if row[:1] == ["GROUP"]:
                group = row[1]
            elif row[:1] == ["HEADING"]:
                heading = row
            elif row[:1] == ["DATA"] and group == "MOND":
                cells = dict(zip(heading, row, strict=True))
                rows += 1
                empty = cells["MOND_TYPE"] == "NFIG" and cells["MOND_RDNG"] == "" and cells["MOND_REM"]
                if not empty and not NUMBER.fullmatch(cells["MOND_RDNG"]):
                    wrong += 1
                    print(path.name, "no number:", cells)
    return {"rows": rows, "no numbers": wrong}


if __name__ == "__main__":
    paths = sorted(Path(sys.argv[1]).glob("*.ags"))
    with ProcessPoolExecutor() as pool:
        whole = sum(pool.map(found, paths, chunksize=10), Counter())
    print(
        f"{len(paths)} files, {whole['rows']} readings: {whole['errors']} errors, {whole['warnings']} warnings,", end=""
    )
    print(f" {whole['remarks']} remarks, {whole['no numbers']} readings that are no numbers")
    sys.exit(not paths or whole["errors"] + whole["warnings"] + whole["no numbers"] > 0)
