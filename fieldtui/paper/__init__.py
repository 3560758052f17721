"""Paper: a booking sheet to print, a filled one booked, earlier lengths taken over.

    table, cells      bytes of a CSV to lines of cells; text that cannot start a formula
    times, rows       one line to what it books, or all that is wrong with it
    standing, plan    what is booked already; which survey and booking each row is
    before, judging   what is known before a row, and what the row means
    verdict, tracks   whether it can be right; each chord followed from survey to survey
    entries, writing  rows as records; each survey written and synced once
    answer, book      the command and its answer to every row
    blank, page       the blank sheet, to fill and to print
    takeover, taking  what the spreadsheet in use so far holds, taken over

A row is booked through the same records, fold and reduction as a reading at the anchor; nothing is computed here that
is not computed there.
"""
