"""A year recomputed from its raw figures, sharing no line with the program: standard library and arithmetic only.

Takes one row for each reading of a chord (raw figures, the tape's constants, the segment's number, whether it is one
of the baseline's sets, which day it is of), and gives each its length, its movement, and what is not known of gaps.
"""

from __future__ import annotations

from math import hypot, sqrt


def length(row):
    raw = float(row["first_hole_distance"]) + (int(row["hole"]) - int(row["first_hole"])) * float(row["pitch"])
    raw += (float(row["dial_1"]) + float(row["dial_2"]) + float(row["dial_3"])) / 3
    return raw * (1 + float(row["expansion"]) * (float(row["temperature"]) - float(row["reference_temperature"])))


def own_u(row, states):
    """The part of a reading's uncertainty that is its own: not the hole's place, not the steel."""
    warmth = float(row["expansion"]) * row["length"] * states["temperature"]
    second = row["length"] * states["temperature"] * float(row["expansion_uncertainty"])
    return hypot(states["repeatability"] / sqrt(3), states["reproducibility"], warmth, second)


def slope(rows, over_days):
    """Of the last of these readings, mm a day: from the newest at least so much older, else from the oldest."""
    last = rows[-1]
    old = [row for row in rows[:-1] if last["day"] - row["day"] >= over_days] or rows[:1]
    return (last["length"] - old[-1]["length"]) / (last["day"] - old[-1]["day"]) if old[-1] is not last else None


def recompute(table, states, over_days):
    """Adds `length`, `moved` and `gap_u` (what was not known of the gaps so far) to each row of one chord."""
    segments = {}
    for row in sorted(table, key=lambda row: row["day"]):
        row["length"] = length(row)
        segments.setdefault(row["segment"], []).append(row)
    paces = {}
    for number in sorted(segments):
        rows = segments[number]
        base = sum(row["length"] for row in rows if row["baseline"]) / sum(1 for row in rows if row["baseline"])
        offset, gap_u = 0.0, 0.0
        if number > 1:
            done = [row for one in range(1, number) for row in segments[one]]
            ties = [(a, b) for a in done for b in rows if a["date"] == b["date"]]
            old = (
                ties[0][0]
                if ties
                else max((row for row in done if row["day"] <= rows[0]["day"]), key=lambda r: r["day"])
            )
            new = ties[0][1] if ties else rows[0]
            upto = [row for row in segments[old["segment"]] if row["day"] <= old["day"]]
            paces[number] = slope(upto, over_days) if len(upto) > 1 else paces[old["segment"]]
            offset = old["moved"] - ((new["length"] - base) if ties else 0.0)
            gap_u = hypot(old["gap_u"], abs(paces[number]) * abs(new["day"] - old["day"]))
        for row in rows:
            row["moved"], row["gap_u"] = offset + row["length"] - base, gap_u
    return [row for number in sorted(segments) for row in segments[number]]
