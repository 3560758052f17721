"""The screen: draws the state, sends what was typed, computes nothing of the trade.

    key ──► page.Page ──► desk.WalkDesk.press ──► job.Walk ──► new state ──► draw.draw_walk ──► lines ──► page.Page

`field`, `menu`, `desk`, `deeds`, `start`, `lines`, `draw…` and `trend` know nothing of the screen library: they are
tested as plain values and strings. `page`, `app`, `themes` and `terminal` are the thin shell around it.
"""
