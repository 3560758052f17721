"""Ten chords with seven planted slips: by the walk, by the paper sheet booked at night, by a spreadsheet.

    python -m tests.bench.against_paper

ground     the chords, today's figures, the slips
walk       driven key by key; what is named at the anchor is read again there
paper      the sheet filled with the same slips and booked with `book`; a spreadsheet with a fixed tolerance
"""

from __future__ import annotations

import shutil
import sys
import tempfile
from collections.abc import Iterator, Mapping
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parents[2])]

from fieldtui.survey import Target  # noqa: E402
from tests.bench.against_paper.ground import Slip, Way, ten_chords  # noqa: E402
from tests.bench.against_paper.paper import by_a_spreadsheet, by_the_sheet  # noqa: E402
from tests.bench.against_paper.walk import by_the_walk  # noqa: E402
from tests.bench.figure import Figure  # noqa: E402


def all_ways() -> tuple[list[Way], Mapping[Target, Slip]]:
    """The three ways, each on its own copy of the same job."""
    with tempfile.TemporaryDirectory() as place:
        path, today, slips = ten_chords(Path(place) / "laid")
        ways = []
        for number, way in enumerate((by_the_walk, by_the_sheet, by_a_spreadsheet)):
            copy = Path(place) / str(number)
            shutil.copytree(path.parent, copy)
            ways.append(way(copy / path.name, today, slips))
        return ways, slips


def figures(quick: bool) -> Iterator[Figure]:
    """What each way caught; the walk is asked for all."""
    ways, slips = all_ways()
    for way in ways:
        walk = way is ways[0]
        yield Figure(
            f"{way.name}: slips caught, of {len(slips)}", way.caught, len(slips) if walk else None, at_least=walk
        )
        yield Figure(f"{way.name}: figures and times entered", way.entries, ways[-1].entries if walk else None)


def main() -> None:
    """Print the table."""
    ways, slips = all_ways()
    print("slips:", "; ".join(slip.what for slip in slips.values()))
    print(f"{'':<26}{'entries':>8}{'keys, signs':>13}{'caught':>9}{'named right':>13}{'false':>7}  when")
    for way in ways:
        print(
            f"{way.name:<26}{way.entries:>8}{way.keys:>13}{way.caught:>5} of {len(slips)}{way.named:>13}"
            f"{way.false:>7}  {way.when}"
        )


if __name__ == "__main__":
    main()
