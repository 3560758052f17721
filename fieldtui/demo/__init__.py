"""The invented job: a heading that never was, walked for a year, with today's survey broken off in the middle.

demo/scenario.toml ──► scenario ──► truth: where the anchors are
                                      │
plan: which surveys ──► generate ◄── sight: what tape and dial show ──► lay: the folder; today: what to type
                                                                          └──► book: the rest, through Walk
"""

from fieldtui.demo.book import book_one
from fieldtui.demo.lay import lay_demo, open_or_lay_demo

__all__ = ["book_one", "lay_demo", "open_or_lay_demo"]
