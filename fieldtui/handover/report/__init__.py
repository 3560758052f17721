"""The report: one file that an engineer can act on, written from the logs and never a second truth.

scope          what a report is of: the time it holds for, what its tables list, how far it was checked
words          times and figures as a report says them
first_page     what moved, what was not read, what is due; at_levels: what is at a level, who was told
proof          is the instrument proven: control frame, dial zero, certificates, care
stations       each station with its chords: reading_rows (the table), remarks (caught, struck out, not read)
sayings        remarks, what was declared between surveys (declared), answers struck out
heads          the logs with their short codes
svg, plots     figures: matplotlib, drawn so that the same figure is the same bytes; `section` draws the anchors
render         facts and templates ──► HTML
text_form      the plain text for an e-mail or a radio call
saving         whole or not at all, never over what is not a report
command        the command `report`

It never says that ground is safe: "below" is below the numbers that the route states.
"""
