"""How a start loads what stays to its end: modules and a job are made, hardly anything of them is dropped."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def making_what_stays() -> Iterator[None]:
    """Look for no rings among objects meanwhile: a start makes very many, drops few, and is waited for."""
    gc.disable()
    try:
        yield
    finally:
        gc.enable()


def modules_stay() -> None:
    """What is loaded by now is never dropped: no later look for rings goes through it."""
    gc.freeze()
