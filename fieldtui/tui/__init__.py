"""The screen: draws the state, sends what was typed, computes nothing of the trade.

    key ──► page.Page ──► desk.WalkDesk.press ──► job.Walk ──► new state ──► draw.draw_walk ──► lines ──► page.Page

`field`, `menu`, `desk`, `deeds`, `lines`, `draw…` and `trend` know nothing of the screen library: they are tested as
plain values and strings, and so are the pages before the walk (`start`, `list_desk`), which know of it no more than
`desks.Desk`. `page`, `app`, `key_decoder`, `themes` and `terminal` are the thin shell around it.
"""
