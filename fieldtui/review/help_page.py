"""Help for the review: what each column, mark and word means, and the keys. Opened from every page; leads back."""

from __future__ import annotations

from fieldtui.review.desk import ReviewDesk
from fieldtui.tui.desks import Desk
from fieldtui.tui.lines import Lines, stack, wrapped

TEXTS = (
    (
        "Figures",
        "since start: movement since the baseline, carried over changes of tape; negative is closing. a day: the rate, "
        "from the newest reading at least as much older as the route asks for. ±: expanded uncertainty. seg: the "
        "segment, that is the same tape, extensometer and anchors.",
    ),
    (
        "Words",
        "■ above a level; ▲ cannot tell: the uncertainty reaches the level, to be told like above; below: below the "
        "numbers that the route states, and nothing about the ground. ▲ speeding up: the last readings bend, by three "
        "standard uncertainties or more. closing, opening: the rate is more than its uncertainty. overdue, due today: "
        "by the route's frequency table. The list is sorted by what matters most.",
    ),
    (
        "Marks in a plot",
        "● a reading; ◇ a reading of a survey that is still open; ○ a doubtful one, which does not count; dots: their "
        "uncertainty; ╌ a level; ╎ a new segment; ┊ an event of construction, named below by its letter; ⠒ a law.",
    ),
    (
        "Laws",
        "end: where the movement ends by a law, counted from the baseline, as a 95 % interval. reached: how much of it "
        "is reached. at rest by the rule: when the route's rule would hold, the face going on at its present pace. sd: "
        "standard deviation. The laws disagree on what comes, and none is the truth. No law is asked while the rate "
        "rises; after a blast or a bench fit anew from that event on.",
    ),
    (
        "Anchors",
        "across: positive to the right, looking towards rising chainage. An arrow without a head is within its "
        "uncertainty. △, held: the route takes the anchor as unmoved, in one direction or both. Chords leave a station "
        "free to shift and turn: what is assumed instead stands below the figures. "
        "A residual is what the anchors leave of a chord's change.",
    ),
    (
        "Keys",
        "A number and Enter: what stands beside the number below. Enter alone: on. 0, Esc: back. F10, Ctrl+C: leave. "
        "+ and - or right and left: next and previous chord or station; in the list down and up. *: another law in the "
        "plot. ? or the point of the number pad: this help.",
    ),
)


class HelpDesk(ReviewDesk):
    """`page` is where it was opened."""

    enter_alone = "next page"

    def __init__(self, page: ReviewDesk) -> None:
        super().__init__(page.study)
        self._page = page
        self.number = 0

    def alone(self) -> None:
        self.number += 1

    def help(self) -> None:
        """It is open already."""

    def back(self) -> Desk | None:
        self._page.done, self._page.next = False, None
        return self._page

    def head(self) -> tuple[str, str]:
        return "Help: what has moved", ""

    def body(self, width: int, height: int) -> Lines:
        lines: Lines = []
        for title, text in TEXTS:
            lines += [[(f" {title}", "main")], *([(" ", ""), *line] for line in wrapped(text, width - 2)), [("", "")]]
        pages = max(1, -(-len(lines) // height))
        first = self.number % pages * height
        return stack(lines[first : first + height], width, height)
