"""Every length of an export recomputed from its raw figures: `python recompute.py FOLDER`. Imports nothing of ours.

raw = hole distance +- value of the dials; + expansion x raw x (T - Tref); - shift of the control frame where it is
taken off. The value of the dials is their mean, or their median where range > f(n) x repeatability (ISO 5725-6).
"""

import csv
import sys
from decimal import Decimal
from pathlib import Path
from statistics import mean, median

D = Decimal
CRITICAL = {1: D("inf"), 2: D("2.772"), 3: D("3.314"), 4: D("3.633"), 5: D("3.858")}
TOLERANCE = D("0.001")


def table(folder, name):
    path = Path(folder) / f"{name}.csv"
    if not path.exists():
        return []
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def taped(row, things, holes):
    """The length by tape, dial and tape temperature."""
    tape = things["tape", row["tape"], row["tape_version"]]
    dial = things["extensometer", row["extensometer"], row["extensometer_version"]]
    distance = holes.get((row["tape"], row["tape_version"], row["hole"]))
    if distance is None:
        step = int(row["hole"]) - int(tape["first_hole"])
        distance = D(tape["first_hole_distance"]) + step * D(tape["pitch"])
    dials = [D(row[f"dial_{n}"]) for n in range(1, 6) if row[f"dial_{n}"]]
    agree = max(dials) - min(dials) <= CRITICAL[len(dials)] * D(dial["repeatability"]) if len(dials) > 1 else True
    value = mean(dials) if agree else median(dials)
    raw = distance + (value if dial["dial"] == "adds" else -value)
    return raw + D(tape["expansion"]) * raw * (D(row["temperature"]) - D(tape["reference_temperature"]))


def recompute(folder):
    """(row, length) for every row that has figures and a length."""
    things = {(row["kind"], row["serial"], row["version"]): row for row in table(folder, "instruments")}
    holes = {(r["serial"], r["version"], r["hole"]): D(r["distance"]) for r in table(folder, "calibrations")}
    rows = [row for row in table(folder, "readings") if row["length"] and row["hole"]]
    frames = {}  # (tape, extensometer) -> survey -> part -> length, the last reading of a part counting
    for row in (row for row in rows if row["chord"] == "frame"):
        control = things["control frame", row["control_frame"], row["control_frame_version"]]
        length = taped(row, things, holes)
        length -= D(control["expansion"]) * length * (D(row["temperature"]) - D(control["reference_temperature"]))
        frames.setdefault((row["tape"], row["extensometer"]), {}).setdefault(row["survey_id"], {})[row["part"]] = length
        yield row, length
    corrects = any(thing["correct"] == "true" for thing in things.values())
    for row in (row for row in rows if row["chord"] != "frame"):
        surveys = frames.get((row["tape"], row["extensometer"]), {})
        own = [value for part, value in surveys.get(row["survey_id"], {}).items() if part != "between"]
        shift = mean(own) - mean(next(iter(surveys.values())).values()) if corrects and own else D(0)
        yield row, taped(row, things, holes) - shift


if __name__ == "__main__":
    worst = max((abs(length - D(row["length"])) for row, length in recompute(sys.argv[1])), default=D(0))
    print(f"largest difference {worst:.6f}")
    sys.exit(worst > TOLERANCE)
