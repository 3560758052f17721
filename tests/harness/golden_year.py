"""What the job makes of the simulated year, as kept in `golden/year.json`; run as a program, writes it anew."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Any

PLACE = Path(__file__).parents[1] / "job" / "golden" / "year.json"


def answers(job: Any) -> dict[str, Any]:
    """Every figure of the history and of the offsets, mm, to a millionth; uncertainties standard."""
    return {
        "note": "Invented. Movement in mm, negative closing; u is a standard uncertainty.",
        "rows": [_row(row) for row in job.history()],
        "offsets": [
            {
                "chord": " ".join(story.key),
                "segment": segment.number,
                "tape": segment.tape,
                "generation": segment.generation,
                "how": segment.offset.how,
                "from": segment.offset.since,
                "pairs": segment.offset.pairs,
                "gap_days": _figure(segment.offset.gap_days),
                "pace": _figure(segment.offset.pace),
                "offset": _figure(segment.offset.value.value),
                "u": _figure(segment.offset.value.u),
            }
            for story in job.account.stories.values()
            for segment in story.segments
            if segment.offset is not None
        ],
        "calls": [[call.station, call.chord, call.level, call.what, call.state, call.label] for call in job.calls],
    }


def _row(row: Any) -> dict[str, Any]:
    kept = {
        "survey": row.booked.label,
        "station": row.station,
        "segment": row.segment,
        "length": _figure(row.length.value),
        "u": _figure(row.length.u),
    }
    for name in ("since_last", "since_baseline", "total", "rate"):
        quantity = getattr(row, name)
        kept[name] = None if quantity is None else [_figure(quantity.value), _figure(quantity.u)]
    logged = None if row.logged_length is None else _figure(row.logged_length.value)
    return {**kept, "logged": logged, "level": row.level and row.level.state, "epoch": row.epoch}


def _figure(value: Any) -> float:
    return round(float(value), 6) + 0.0


if __name__ == "__main__":
    sys.path.insert(0, str(Path(__file__).parents[1]))
    from harness.year import year

    text = json.dumps(answers(year().job), indent=0, ensure_ascii=True)
    PLACE.write_text(text.replace('\n"', ' "').replace("\n", " ").replace("}, {", "},\n{") + "\n", encoding="utf-8")
