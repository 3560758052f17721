"""What goes to the terminal of a page that was drawn anew: the cells that changed, and none to the left of them.

The screen library cuts what it sends at the right end of a change alone, and sends each line from its beginning: over
a slow line twice the bytes. And it sends by a clock, sixty times a second: a page that follows another would wait.
"""

from __future__ import annotations

from rich.console import Console
from textual._compositor import ChopsUpdate, Compositor
from textual.screen import Screen
from textual.widget import Widget


class CellsUpdate(ChopsUpdate):
    """Spans of lines, each cut at both ends."""

    def render_segments(self, console: Console) -> str:
        """The text for the terminal, with its codes."""
        sent = []
        for y, first, end in self.spans:
            for chop_end, (x, strip) in zip(self.chop_ends[y], self.chops[y].items(), strict=True):
                here, there = max(x, first), min(chop_end, end)
                if strip is not None and here < there:
                    sent += [f"\x1b[{y + 1};{here + 1}H", strip.crop(here - x, there - x).render(console)]
        return "".join(sent)


class CellsCompositor(Compositor):
    """As the library's, but for the update of a part."""

    def render_partial_update(self) -> ChopsUpdate | None:
        """The cells that changed; None where there are none."""
        update = super().render_partial_update()
        return CellsUpdate(update.chops, update.spans, update.chop_ends) if update is not None else None


class PageScreen(Screen[None]):
    """A screen that sends the cells that changed."""

    def __init__(self) -> None:
        super().__init__()
        self._compositor = CellsCompositor()

    def send(self, widget: Widget) -> None:
        """Send at once what a widget has drawn anew, and not with the next tick of the library's clock."""
        # what that clock calls: the library has no public name for it, and is pinned to the version that was read
        self._dirty_widgets.add(widget)
        self._on_timer_update()
