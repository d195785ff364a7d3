"""The two growth curves: von Bertalanffy and Gompertz, from length at birth, final length and rate."""

from enum import StrEnum
from math import log

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


class Model(StrEnum):
    """Which curve a batch follows."""

    VON_BERTALANFFY = "von Bertalanffy"
    GOMPERTZ = "Gompertz"


def von_bertalanffy(age: Array, l0: Array | float, linf: Array | float, k: Array | float) -> Array:
    """Length (mm) at thermal ``age`` (days at 25 °C).

    L = Linf - (Linf - L0) exp(-K age)

    References
    ----------
    von Bertalanffy (1938), Human Biology 10:181, written with the length at birth in place of t0.
    """
    return np.asarray(linf - (linf - l0) * np.exp(-k * age))


def gompertz(age: Array, l0: Array | float, linf: Array | float, k: Array | float) -> Array:
    """Length (mm) at thermal ``age``: slow at first, fastest at 37 % of the final length.

    L = Linf exp(-ln(Linf / L0) exp(-k age))

    References
    ----------
    Gompertz (1825), Phil. Trans. R. Soc. 115:513; Ricker (1979), Fish Physiology VIII:677.
    """
    return np.asarray(linf * np.exp(-np.log(linf / l0) * np.exp(-k * age)))


def lengths(model: Model, logs: Array, age: Array) -> Array:
    """Lengths for every row of ``logs`` (log L0, log Linf, log K) at every age: rows by ages.

    The same as the curves above, in place, for tables of many curves.
    """
    linf, k = np.exp(logs[:, 1:2]), np.exp(logs[:, 2:])
    l0 = np.minimum(np.exp(logs[:, :1]), 0.98 * linf)
    table = np.asarray(-k * age)
    np.exp(table, out=table)
    if model is Model.VON_BERTALANFFY:
        table *= l0 - linf
        table += linf
        return table
    table *= np.log(l0 / linf)
    np.exp(table, out=table)
    table *= linf
    return table


def rising(model: Model, logs: Array, age: Array) -> tuple[Array, Array]:
    """Lengths for every row of ``logs`` at its row of ages, and how fast they rise."""
    linf, k = np.exp(logs[:, 1:2]), np.exp(logs[:, 2:])
    l0 = np.minimum(np.exp(logs[:, :1]), 0.98 * linf)
    decay = np.exp(-k * age)
    if model is Model.VON_BERTALANFFY:
        left = (linf - l0) * decay
        return linf - left, k * left
    left = np.log(linf / l0) * decay
    length = linf * np.exp(-left)
    return length, length * left * k


def climb(model: Model, logs: Array, age: Array) -> tuple[Array, Array, Array, Array]:
    """Lengths for every row of ``logs`` at its row of ages, and their first three derivatives by age."""
    linf, k = np.exp(logs[:, 1:2]), np.exp(logs[:, 2:])
    l0 = np.minimum(np.exp(logs[:, :1]), 0.98 * linf)
    decay = np.exp(-k * age)
    if model is Model.VON_BERTALANFFY:
        left = (linf - l0) * decay
        first = k * left
        return linf - left, first, -k * first, k * k * first
    left = np.log(linf / l0) * decay
    length = linf * np.exp(-left)
    first = length * left * k
    bend = k * (left - 1)
    return length, first, first * bend, first * (bend * bend - k * k * left)


def slopes(model: Model, logs: Array, age: Array) -> tuple[Array, Array]:
    """Lengths at every age for one row of ``logs``, and their derivatives by each log parameter."""
    l0, linf, k = np.exp(logs).tolist()
    l0 = min(l0, 0.98 * linf)
    decay = np.exp(-k * age)
    by = np.empty((len(age), 3))
    if model is Model.VON_BERTALANFFY:
        length = linf - (linf - l0) * decay
        by[:, 0], by[:, 1] = l0 * decay, linf * (1 - decay)
        by[:, 2] = (linf - l0) * k * decay * age
        return length, by
    bend = log(linf / l0)
    length = linf * np.exp(-bend * decay)
    by[:, 0] = length * decay
    by[:, 1] = length - by[:, 0]
    by[:, 2] = bend * k * by[:, 0] * age
    return length, by


def birth_length(linf: float, k: float, t0: float) -> float:
    """Length at age 0 of a von Bertalanffy curve that is published with t0.

    L0 = Linf (1 - exp(K t0))
    """
    return float(linf * -np.expm1(k * t0))


def ford_walford(evenly: Array, step: float = 1.0) -> tuple[float, float]:
    """Linf and K from lengths measured at even steps, by a straight line of each on the one before.

    L(t + step) = a + b L(t);  Linf = a / (1 - b),  K = -ln(b) / step. A rough look before a fit.

    References
    ----------
    Ford (1933); Walford (1946), Biol. Bull. 90:141.
    """
    slope, intercept = np.polyfit(evenly[:-1], evenly[1:], 1)
    return float(intercept / (1 - slope)), float(-np.log(slope) / step)
