"""Figures as SVG inside the page: the same figure is the same bytes, and its colours follow light and dark.

    matplotlib Figure ── as_svg ──► Figure: SVG that refers to nothing outside, and the text that stands for it

What is drawn carries colours of `ROLES`, each of which becomes a variable of the page's style. Names of clip paths and
signs are made the figure's own, since several figures stand in one page.
"""

from __future__ import annotations

import io
import re
import warnings
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from types import MappingProxyType
from typing import TYPE_CHECKING

from markupsafe import Markup
from msgspec import Struct

if TYPE_CHECKING:
    from matplotlib.figure import Figure as Drawing

ROLES: Mapping[str, str] = MappingProxyType(
    {
        "#010203": "var(--ink)",
        "#020304": "var(--quiet)",
        "#030405": "var(--rule)",
        "#040506": "var(--point)",
        "#050607": "var(--doubt)",
        "#060708": "var(--level)",
        "#070809": "var(--alarm)",
        "#08090a": "var(--paper)",
    }
)
"""Colours that stand for roles while a figure is drawn; nothing else is drawn with."""
INK, QUIET, RULE, POINT, DOUBT, LEVEL, ALARM, PAPER = ROLES

_MARGINS = (0.52, 0.08, 0.36, 0.3)
"""Inches for the labels: left, right, below, above."""

_STYLE = {
    "svg.fonttype": "none",
    "svg.hashsalt": "figure",
    "text.parse_math": False,
    "font.family": "sans-serif",
    "font.size": 8.0,
    "axes.facecolor": "none",
    "axes.edgecolor": QUIET,
    "axes.labelcolor": INK,
    "axes.linewidth": 0.6,
    "text.color": INK,
    "xtick.color": QUIET,
    "ytick.color": QUIET,
    "xtick.labelcolor": INK,
    "ytick.labelcolor": INK,
    "axes.spines.top": False,
    "axes.spines.right": False,
    "axes.unicode_minus": False,
    "legend.frameon": False,
    "path.simplify": False,
}


class Figure(Struct, frozen=True):
    """A figure of the page. `text` says in words what it shows; `caption` stands below it for everybody."""

    svg: Markup
    text: str
    caption: str = ""


@contextmanager
def drawing(width: float, height: float) -> Iterator[Drawing]:
    """An empty figure, inches, to be drawn in and given to `as_svg` before the block ends."""
    import matplotlib
    from matplotlib.figure import Figure as MakeDrawing

    with matplotlib.rc_context(), warnings.catch_warnings():
        # letters that matplotlib's own font lacks are drawn by the reader's browser
        warnings.filterwarnings("ignore", message="Glyph .* missing", category=UserWarning)
        matplotlib.rcParams.update(_STYLE)  # type: ignore[arg-type]
        made = MakeDrawing(figsize=(width, height))
        made.patch.set_alpha(0)
        # fixed margins: a layout that measures every text takes as long as the drawing
        left, right, below, above = _MARGINS
        made.subplots_adjust(left / width, below / height, 1 - right / width, 1 - above / height)
        yield made


def as_svg(made: Drawing, name: str) -> Markup:
    """The drawing as SVG to stand in a page. `name` is the figure's own in its page: letters, digits and dashes."""
    from matplotlib.backends.backend_svg import FigureCanvasSVG

    file = io.StringIO()
    none = dict.fromkeys(("Date", "Creator", "Format", "Type"))
    FigureCanvasSVG(made).print_svg(file, metadata=none)  # type: ignore[no-untyped-call]
    text = file.getvalue()
    text = text[text.index("<svg") :]
    text = re.sub(r"\s*<metadata>.*?</metadata>", "", text, flags=re.DOTALL)
    # of the style that matplotlib puts into every figure the page has one of its own
    text = re.sub(r"<style type=\"text/css\">.*?</style>", "", text, flags=re.DOTALL)
    text = re.sub(r' xmlns(:xlink)?="[^"]*"', "", text).replace("xlink:href", "href")
    text = re.sub(r"font: ([0-9.]+)px [^;\"]*", r"font-size: \1px", text)
    for colour, role in ROLES.items():
        text = text.replace(colour, role)
    text = re.sub(r'<svg [^>]*?viewBox="([^"]*)"[^>]*>', r'<svg viewBox="\1" aria-hidden="true">', text, count=1)
    return Markup(_own_names(text, name))


def _own_names(text: str, name: str) -> str:
    used = set(re.findall(r'(?:url\(#|href="#)([^)"]+)', text))
    numbered = {old: f"{name}-{place}" for place, old in enumerate(dict.fromkeys(re.findall(r' id="([^"]+)"', text)))}

    def named(match: re.Match[str]) -> str:
        return f' id="{numbered[match[1]]}"' if match[1] in used else ""

    text = re.sub(r' id="([^"]+)"', named, text)
    return re.sub(r'(url\(#|href="#)([^)"]+)', lambda match: match[1] + numbered.get(match[2], match[2]), text)
