"""fieldtui: walk a tape convergence survey, book it safely, and know at once what it means."""

__version__ = "0.1.0"
