"""The job as pandas tables: what was read, what it comes to, and apart from that what does not count.

tables      Job ──► Tables: readings, doubtful, not_read, segments
figures     plain arrays ──► change, since baseline, rate, level: for tables of any size (no figure of a job is made
            here twice: a job's own come with its rows, and agree)
compute     a table ──► the same table with those figures
shown       what the command `history` says

Names are categories; nothing goes row by row. pandas is loaded when a history is asked for, never by the walk.
"""

from fieldtui.history.tables import Tables, tables

__all__ = ["Tables", "tables"]
