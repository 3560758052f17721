"""Every change, movement and rate of an export anew: `python recompute_movement.py FOLDER`. Imports nothing of ours.

Lengths come from the raw figures (`recompute.py`, beside this file). Movement is length - mean of the segment's
baseline + what is carried into the segment: the last movement before it, or where old and new were read on one day or
in one survey, what makes the two agree, pair by pair, the nearest in time first. Of several older segments read so,
the first is taken here, where the program takes the least uncertain; and an epoch declared between two sets of one
segment's baseline is not told apart from it. Neither is in the jobs that it is run on.
"""

import sys
from datetime import datetime
from statistics import mean
from zoneinfo import ZoneInfo

from recompute import D, recompute, table

COLUMNS = ("change", "total", "since_epoch", "rate")


def chords(folder):
    """Each chord's readings in order of time, with `at`, `day` and `L`, the length anew."""
    lengths = {(row["log"], row["seq"], row["reading"]): length for row, length in recompute(folder)}
    found = {}
    for row in (row for row in table(folder, "readings") if row["segment"]):
        at = datetime.fromisoformat(row["time"])
        here = at.astimezone(ZoneInfo(row["time_zone"].split(";")[0]))
        # a length taken over has no raw figures
        length = lengths.get((row["log"], row["seq"], row["reading"]), D(row["length"]))
        found.setdefault((row["station"], row["chord"]), []).append({**row, "at": at, "day": here.date(), "L": length})
    return found


def carried(new, old, base):
    """By ties with an older segment; None where there are none."""
    near = sorted(
        (abs(b["at"] - a["at"]), a["at"], b["at"], a["M"] - (b["L"] - base))
        for a in old
        for b in new
        if a["day"] == b["day"] or a["survey_id"] == b["survey_id"]
    )
    used, ties = set(), []
    for _, a, b, tie in near:
        if ("old", a) not in used and ("new", b) not in used:
            used |= {("old", a), ("new", b)}
            ties.append(tie)
    return mean(ties) if ties else None


def anew(rows):
    """(row, column, figure) of one chord."""
    segments = {n: [r for r in rows if int(r["segment"]) == n] for n in sorted({int(r["segment"]) for r in rows})}
    done = []
    for own in segments.values():
        good = [row for row in own if row["counts"] == "true"]
        base = mean([r["L"] for r in good if r["baseline"] == "true" and r["epoch"] == good[0]["epoch"]] or [D(0)])
        tied = [one for old in done if good and (one := carried(good, old, base)) is not None]
        before = [row for old in done for row in old if good and row["at"] <= good[0]["at"]]
        offset = tied[0] if tied else max(before, key=lambda row: row["at"])["M"] if before else D(0)
        for row in own:
            row["M"] = offset + row["L"] - base
        done += [good] if good else []
    for row in rows:
        own = [r for r in segments[int(row["segment"])] if r["counts"] == "true" and r["at"] < row["at"]]
        last = [r for r in own if r["survey_id"] != row["survey_id"]][-1:]
        sets = [r for r in rows if r["baseline"] == "true" and r["epoch"] == row["epoch"] != ""]
        zero = [r["M"] for r in sets if r["segment"] == sets[0]["segment"]]
        since = [r for r in own if row["rate_since"] and r["at"] == datetime.fromisoformat(row["rate_since"])]
        days = [D((row["at"] - r["at"]).total_seconds()) / 86400 for r in since]
        yield row, "change", row["L"] - last[0]["L"] if last else None
        yield row, "total", row["M"]
        yield row, "since_epoch", row["M"] - mean(zero) if zero else None
        yield row, "rate", (row["L"] - since[0]["L"]) / days[0] if since else None


if __name__ == "__main__":
    worst = dict.fromkeys(COLUMNS, (D(0), 0))
    for rows in chords(sys.argv[1]).values():
        for row, column, figure in anew(rows):
            if row[column]:
                off = abs(figure - D(row[column])) if figure is not None else D("inf")
                worst[column] = (max(worst[column][0], off), worst[column][1] + 1)
                if off > D("0.001"):
                    print(row["time"], row["station"], row["chord"], row["segment"], column, row[column], figure)
    print("; ".join(f"{name}: {count} figures, largest difference {off:.6f}" for name, (off, count) in worst.items()))
    sys.exit(any(off > D("0.001") for off, _ in worst.values()))
