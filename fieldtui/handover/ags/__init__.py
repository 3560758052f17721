"""The job as an AGS4 file, edition 4.1.1: the open transfer format of the AGS Data Format Working Group.

signs      which signs a text may have; what is refused is named with its place, never dropped
groups     groups of headings and rows ──► lines: every field quoted, CRLF
standing   what the file says of itself: PROJ, TRAN, TYPE, UNIT, ABBR
places     stations and chords: LOCA, MONG
monitored  readings: MOND
save       all of it into a file, sealed with its SHA-256

A station is a LOCA, a chord a MONG of type ETT (tape extensometer). Each repeat is a MOND row of type DSTL; the
corrected length has a code of its own, so that nobody averages it with its raw repeats. Control frame and dial zero,
struck out and unfinished bookings are not in it: they stand in the tables of `--to csv`.
"""

from fieldtui.handover.ags.save import save_ags

__all__ = ["save_ags"]
