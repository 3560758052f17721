"""What has moved, on the screen: the route at a glance, one chord, one station. Opened from the start page.

opening       the page that stands there while history and laws are loaded; nothing heavy before it
study         what has been computed of a job so far, each thing once
desk          what the pages have in common: a number and Enter, arrows, back
route_page    which chords are at a level, speed up, move, are due; what matters most first
chord_page    one chord: plots, readings, laws, rest, inverse velocity
chord_plots   its plots; chord_table its readings; chord_words what laws and rules say of it
station_page  the anchors of a station between two surveys
help_page     what each column, mark and word means

It computes nothing of its own: `movement` does. It is a room apart so that the walk never waits for pandas or scipy.
It shows figures and compares them with the route's; nothing here says that ground is safe.
"""
