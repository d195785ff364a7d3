"""Published growth series, as transcribed in the project's compilation of livebearer biology.

The figures reached the compilation through the parameter files of Add-my-Pet, which name the
original authors; they are cited, not shipped as a data set.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from app.core.growth import Sex

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Series:
    """Mean total lengths (mm) by age (days) of one published cohort, with its water."""

    source: str
    species: str
    sex: Sex | None
    temperature_c: float
    birth_mm: float
    lengths: tuple[tuple[int, float], ...]

    @property
    def ages(self) -> Array:
        """Age in days."""
        return np.array([float(age) for age, _ in self.lengths])

    @property
    def mm(self) -> Array:
        """Mean total length."""
        return np.array([mm for _, mm in self.lengths])

    @property
    def anchored(self) -> tuple[Array, Array]:
        """The series with the length at birth in front."""
        return np.concatenate([[0.0], self.ages]), np.concatenate([[self.birth_mm], self.mm])


GUPPY = Series(
    "Ursin (1967), females at 21 °C",
    "guppy",
    "female",
    21.0,
    7.0,
    (
        (2, 9.2), (6, 10.7), (14, 12.0), (21, 12.7), (28, 14.4), (35, 15.8), (41, 17.0), (49, 18.2),
        (55, 20.1), (62, 21.2), (69, 22.5), (76, 23.0), (111, 26.3), (146, 28.2), (195, 33.4),
        (237, 36.1), (293, 39.6), (349, 43.0), (405, 43.6),
    ),
)  # fmt: skip

PLATY = Series(
    "Felin (1951), southern platy at 22.1 °C",
    "southern_platy",
    None,
    22.1,
    8.3,
    (
        (31, 18.4), (61, 26.8), (122, 31.7), (153, 32.5), (182, 33.2), (215, 34.0), (244, 34.7),
        (273, 35.6), (333, 38.3), (366, 38.5), (426, 40.1), (488, 41.2), (580, 42.8),
    ),
)  # fmt: skip

_SWORDTAIL_G = (
    (0, 0.040), (14, 0.052), (28, 0.122), (43, 0.418), (57, 0.889), (70, 1.325), (85, 3.015),
    (112, 4.322), (141, 5.02), (210, 7.442),
)  # fmt: skip

SWORDTAIL = Series(
    "James & Sampath (2003), at 28 °C; stocked about 30 days old; W = 0.00977 TL(cm)^3.04",
    "swordtail",
    "female",
    28.0,
    8.3,
    tuple((day + 30, 10 * (grams / 0.00977) ** (1 / 3.04)) for day, grams in _SWORDTAIL_G),
)

LIMIA_MALES = Series(
    "Ponce de León et al. (2013), Limia vittata males at 27.5 °C",
    "limia",
    "male",
    27.5,
    9.0,
    (
        (14, 11.4), (28, 14.8), (42, 19.6), (56, 25.5), (70, 29.7), (84, 31.5), (98, 35.6),
        (112, 37.2), (126, 36.7),
    ),
)  # fmt: skip

LIMIA_FEMALES = Series(
    "Ponce de León et al. (2013), Limia vittata females at 27.5 °C",
    "limia",
    "female",
    27.5,
    9.0,
    (
        (28, 14.5), (42, 19.3), (56, 24.1), (70, 26.8), (84, 32.7), (98, 41.3), (112, 45.0), (133, 48.6),
    ),
)  # fmt: skip

SERIES = (GUPPY, PLATY, SWORDTAIL, LIMIA_MALES, LIMIA_FEMALES)
