"""Laws of convergence: how far a chord has closed so long after the face passed it, and with the face so far ahead.

    Law ── columns(shape, t, x) ──► (n, k): share of each part of the end value that is reached, 0 to 1
        ── slopes(shape, t, x)  ──► (n, k, q): their exact derivatives by each of the q figures of the shape

A law is `sum of amplitude x column`: only the shape (T, X) is not linear. Every column starts at 0 and ends at 1, so
the amplitudes together are the end value, and the first of them is the law's own A. t and x count from the face passing
the station; t in days, x in the route's large unit, amplitudes in its small unit, closing positive.

    exponential         A (1 - exp(-t/T))
    hyperbolic          A t / (T + t)
    face advance        A [1 - (X/(x + X))^2]                                       Panet and Guenot 1982
    face and time       A [1 - (X/(x + X))^2] {1 + m [1 - (T/(t + T))^n]}, n = 0.3  Sulem, Panet and Guenot 1987,
                        IJRMMS 24(3) 145-154: formula and n from memory

A logarithmic law has no end value and is not among them.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Sequence
from typing import ClassVar, Literal

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Grows = Literal["time", "face"]

TIME_POWER = 0.3
"""The n of the face-and-time law, held; from memory."""


class Law(ABC):
    """One law. `shape` are the names of the figures that are not linear, each with what it counts in."""

    name: ClassVar[str]
    formula: ClassVar[str]
    shape: ClassVar[tuple[tuple[str, Grows], ...]]
    parts: ClassVar[int] = 1
    """How many amplitudes the law has."""

    @abstractmethod
    def columns(self, shape: Sequence[float] | Array, t: Array, x: Array) -> Array:
        """Share reached of each part, (..., n, k). Each of `shape` may be an array (..., 1) of many candidates."""

    @abstractmethod
    def slopes(self, shape: Sequence[float], t: Array, x: Array) -> Array:
        """Derivatives of the columns by the figures of the shape, (n, k, q)."""

    @abstractmethod
    def paces(self, shape: Sequence[float], t: Array, x: Array) -> tuple[Array, Array]:
        """Derivatives of the columns by t and by x, (n, k) each: share a day, share a large unit."""

    @property
    def uses_time(self) -> bool:
        return any(grows == "time" for _, grows in self.shape)

    @property
    def uses_face(self) -> bool:
        return any(grows == "face" for _, grows in self.shape)

    @property
    def names(self) -> tuple[str, ...]:
        """What the law's own figures are called, amplitudes first."""
        return ("A", *(("m",) if self.parts == 2 else ()), *(name for name, _ in self.shape))

    def __str__(self) -> str:
        return self.name


class Exponential(Law):
    """A (1 - exp(-t/T))."""

    name = "exponential"
    formula = "A (1 - exp(-t/T))"
    shape = (("T", "time"),)

    def columns(self, shape: Sequence[float] | Array, t: Array, x: Array) -> Array:
        return np.asarray(-np.expm1(-t / shape[0]))[..., None]

    def slopes(self, shape: Sequence[float], t: Array, x: Array) -> Array:
        (tau,) = shape
        return np.asarray(-t / tau**2 * np.exp(-t / tau))[:, None, None]

    def paces(self, shape: Sequence[float], t: Array, x: Array) -> tuple[Array, Array]:
        (tau,) = shape
        by_t = np.asarray(np.exp(-t / tau) / tau)[:, None]
        return by_t, np.zeros_like(by_t)


class Hyperbolic(Law):
    """A t / (T + t)."""

    name = "hyperbolic"
    formula = "A t/(T + t)"
    shape = (("T", "time"),)

    def columns(self, shape: Sequence[float] | Array, t: Array, x: Array) -> Array:
        return np.asarray(t / (shape[0] + t))[..., None]

    def slopes(self, shape: Sequence[float], t: Array, x: Array) -> Array:
        (tau,) = shape
        return np.asarray(-t / (tau + t) ** 2)[:, None, None]

    def paces(self, shape: Sequence[float], t: Array, x: Array) -> tuple[Array, Array]:
        (tau,) = shape
        by_t = np.asarray(tau / (tau + t) ** 2)[:, None]
        return by_t, np.zeros_like(by_t)


class FaceAdvance(Law):
    """A [1 - (X/(x + X))^2], Panet and Guenot 1982."""

    name = "face advance"
    formula = "A [1 - (X/(x + X))^2]"
    shape = (("X", "face"),)

    def columns(self, shape: Sequence[float] | Array, t: Array, x: Array) -> Array:
        return np.asarray(_faced(shape[0], x))[..., None]

    def slopes(self, shape: Sequence[float], t: Array, x: Array) -> Array:
        return np.asarray(_faced_by_shape(shape[0], x))[:, None, None]

    def paces(self, shape: Sequence[float], t: Array, x: Array) -> tuple[Array, Array]:
        by_x = _faced_by_x(shape[0], x)[:, None]
        return np.zeros_like(by_x), by_x


class FaceAndTime(Law):
    """A [1 - (X/(x + X))^2] {1 + m [1 - (T/(t + T))^n]}; its amplitudes are A and A m. From memory, see the module."""

    name = "face and time"
    formula = f"A [1 - (X/(x + X))^2] {{1 + m [1 - (T/(t + T))^{TIME_POWER}]}}"
    shape = (("X", "face"), ("T", "time"))
    parts = 2

    def columns(self, shape: Sequence[float] | Array, t: Array, x: Array) -> Array:
        faced = _faced(shape[0], x)
        timed = 1 - (shape[1] / (t + shape[1])) ** TIME_POWER
        return np.stack(np.broadcast_arrays(faced, faced * timed), axis=-1)

    def slopes(self, shape: Sequence[float], t: Array, x: Array) -> Array:
        reach, tau = shape
        faced, by_reach = _faced(reach, x), _faced_by_shape(reach, x)
        timed = 1 - (tau / (t + tau)) ** TIME_POWER
        by_tau = -TIME_POWER * (tau / (t + tau)) ** (TIME_POWER - 1) * t / (t + tau) ** 2
        made = np.zeros((len(t), 2, 2))
        made[:, 0, 0] = by_reach
        made[:, 1, 0] = by_reach * timed
        made[:, 1, 1] = faced * by_tau
        return made

    def paces(self, shape: Sequence[float], t: Array, x: Array) -> tuple[Array, Array]:
        reach, tau = shape
        faced, by_x = _faced(reach, x), _faced_by_x(reach, x)
        timed = 1 - (tau / (t + tau)) ** TIME_POWER
        timed_by_t = TIME_POWER * tau**TIME_POWER / (t + tau) ** (TIME_POWER + 1)
        return (
            np.stack([np.zeros_like(faced), faced * timed_by_t], axis=-1),
            np.stack([by_x, by_x * timed], axis=-1),
        )


def _faced(reach: float | Array, x: Array) -> Array:
    return np.asarray(1 - (reach / (x + reach)) ** 2)


def _faced_by_shape(reach: float, x: Array) -> Array:
    return np.asarray(-2 * reach * x / (x + reach) ** 3)


def _faced_by_x(reach: float, x: Array) -> Array:
    return np.asarray(2 * reach**2 / (x + reach) ** 3)


EXPONENTIAL, HYPERBOLIC, FACE_ADVANCE, FACE_AND_TIME = Exponential(), Hyperbolic(), FaceAdvance(), FaceAndTime()
LAWS: tuple[Law, ...] = (EXPONENTIAL, HYPERBOLIC, FACE_ADVANCE, FACE_AND_TIME)
