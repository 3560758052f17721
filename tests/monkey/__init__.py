"""Seeded random keys, pastes, sizes, signals and clocks against the whole program; every step is held against the disk.

python -m tests.monkey [--events 100000] [--real 3000] [--lines 6000] [--seed 1]

event      one thing that happens to the program
hand       what is typed next: mostly what a surveyor would, often anything at all
stage      the program without a terminal: bytes to keys to desks to lines
ledger     the logs as their bytes stand on the disk, read on as they grow
shown      the screen as it is read by eye: counts, fields, time of saving
held       what must hold after each event
visited    which pages, prompts and actions were reached
jobs       what it is let loose on
real       the real program in a pseudo-terminal, with real signals
plain      the walk line by line, in process and by a pipe
run        one life: a job, a seed, so many events; a failure is cut down to what brings it about
"""
