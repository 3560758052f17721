"""The walk's page with nothing behind it: the same widgets and themes, the figure typed, and always the same result."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from decimal import Decimal

from fieldtui.route.model import Anchor, Chord, Station
from fieldtui.route.section import draw_section
from fieldtui.tui.app import FieldApp
from fieldtui.tui.desks import Desk
from fieldtui.tui.draw_form import field_cells
from fieldtui.tui.field import Field
from fieldtui.tui.large import large
from fieldtui.tui.lines import Lines, beside, joined, rule, spread, stack
from fieldtui.tui.trend import draw_trend

RESULT: Lines = [
    [("length      ", "label"), ("7777.46 ±0.21 mm, tape at 14 assumed", "main")],
    [("since last  ", "label"), ("-1.54 ±0.29 mm, within uncertainty", "main")],
    [("            ", "label"), ("49.1 h ago, 24 Nov 05:56", "quiet")],
]
ANCHORS = {"L": ("-4.0", "1.5"), "R": ("4.0", "1.5"), "K": ("0.0", "6.0"), "M": ("3.0", "4.5")}
CHORDS = ("L-R", "L-K", "R-K", "L-M")
STATION = Station(
    name="S01",
    chainage=Decimal("100.0"),
    face=None,
    caution="",
    closed=False,
    note="",
    anchors=tuple(Anchor(name, Decimal(x), Decimal(z), kind=None, fixed=None) for name, (x, z) in ANCHORS.items()),
    chords=tuple(Chord(*name.split("-"), length=None, levels=()) for name in CHORDS),
)
START = datetime(2031, 5, 4, 2, 0, tzinfo=UTC)
POINTS = [(START + timedelta(days=day), -0.1 * day) for day in range(10)]
NOW = (START + timedelta(days=11), -1.54)
LEFT = 31
SECTION: Lines = [joined(line) for line in draw_section(STATION, STATION.chords[0], LEFT, 8)]


class ConstantDesk:
    """A field, and a result that nobody works out."""

    def __init__(self) -> None:
        self.field = Field()
        self.bell = False
        self.done = False
        self.next: Desk | None = None

    def press(self, key: str, character: str | None) -> None:
        """A key edits the field, or types into it; Enter empties it."""
        if not self.edit(key, character):
            self.field = Field()

    def edit(self, key: str, character: str | None) -> bool:
        """Take a key that edits the field, at once as in the walk."""
        if key == "enter":
            return False
        edited = self.field.key(key)
        if edited is None and character is not None and character.isprintable():
            edited = self.field.insert(character)
        self.field = edited or self.field
        return True

    def paste(self, text: str) -> None:
        """Nothing is pasted here."""

    def draw(self, width: int, height: int) -> Lines:
        """Head, section beside the result and the figure in large digits, plot, fields, keys: as the walk has them."""
        head: Lines = [
            spread([(" constant", "head")], [("0 of 24 chords read ", "head")], width),
            [(" chord L-R", "main"), (" at S01, 100.0 m   hook at L, instrument at R   tape T1", "")],
            rule("", width),
        ]
        said = [*RESULT, [("", "")], [("dial 2", "label")], *large(self.field.text, width - LEFT - 1)]
        fields = [("  310       21.0     [", ""), *field_cells(self.field, 8), ("]", "main")]
        foot: Lines = [
            rule("", width),
            [("  hole      dial 1    dial 2    dial 3    temp degC", "label")],
            fields,
            [(" Slacken and tension again before this repeat.", "quiet")],
            [],
            spread(
                [(" Enter  * correct  / not read  u unsafe  + more  ? help", "key")], [("saved 02:00:00 ", "")], width
            ),
        ]
        plot = [rule("L-R: movement since the start, by date", width), *draw_trend(POINTS, NOW, width, 4, "mm", 1)]
        rows = height - len(head) - len(plot) - len(foot)
        body = beside(stack(SECTION, LEFT, rows), stack(said, width - LEFT, rows))
        return stack([*head, *body, *plot, *foot], width, height)


if __name__ == "__main__":
    FieldApp(ConstantDesk()).run(mouse=False)
