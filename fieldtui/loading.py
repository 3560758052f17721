"""How a start loads what stays to its end: modules, a job and the first page are made, hardly anything is dropped."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager

_LOOK_AFTER = 10_000


@contextmanager
def making_what_stays() -> Iterator[None]:
    """Look for no rings among objects from here on, until all is `made`: a start makes very many, and is waited for."""
    gc.disable()
    try:
        yield
    except BaseException:
        gc.enable()
        raise


def made() -> None:
    """The first page stands, or the first question: no later look for rings goes through what was made for it.

    From here on one is taken after every ten thousand objects: at the seven hundred of the interpreter every second key
    had to wait for one.
    """
    gc.set_threshold(_LOOK_AFTER)
    if not gc.isenabled():
        gc.freeze()
        gc.enable()
