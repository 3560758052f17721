"""Laying a route: questions in the terminal, a section that grows, and a file that a person can read and edit.

    answers ──► questions ──► the next Ask
       │
       └──► parts ──► writing ──► text ──► route.parse_route: the plan so far, what it sees, what is missing on site

    checks, asking      what an answer may be; questions in words
    job_, instrument_, section_questions, questions   what is asked, in order; each may look at the answers before it
    shapes, layouts     outlines of tunnels, where anchors go, which chords
    parts, writing      answers to tables, tables to text
    draft, saving       what is kept on the disk meanwhile, and at the end
    desk, sight_desk, opening   the pages

Answers are texts by key, in the order they were given; everything on the pages is a function of them. A file that is
there already is only added to at its end: what stands in it stays, byte for byte.
"""
