"""How fast a small population becomes inbred: effective size and the rise of inbreeding."""

from collections.abc import Sequence

from app.core.problems import Problem


def effective_size(males: int, females: int) -> float:
    """Effective size of a population by its breeding males and females, ``4·Nm·Nf / (Nm + Nf)``.

    Parameters
    ----------
    males, females : int
        Each at least 1.

    Raises
    ------
    Problem
        If either is less than 1.

    References
    ----------
    Wright (1931), Genetics 16:97; Falconer & Mackay (1996), eq. 4.4.
    """
    for number, field in ((males, "males"), (females, "females")):
        if number < 1:
            raise Problem(f"{number} cannot breed; give 1 or more", field)
    return 4.0 * males * females / (males + females)


def inbreeding_rate(effective: float) -> float:
    """Rise of inbreeding per generation, ``ΔF = 1 / (2·Ne)``.

    Parameters
    ----------
    effective : float
        Ne, above 0.

    Raises
    ------
    Problem
        If it is not above zero.

    References
    ----------
    Falconer & Mackay (1996), ch. 4.
    """
    if not effective > 0:
        raise Problem(f"{effective:g} cannot be an effective size; give more than 0", "effective")
    return 1.0 / (2.0 * effective)


def effective_over_generations(sizes: Sequence[float]) -> float:
    """Effective size over generations of different size, their harmonic mean.

    Parameters
    ----------
    sizes : Sequence[float]
        Ne of each generation, above 0.

    Raises
    ------
    Problem
        If there is none, or one is not above zero.

    References
    ----------
    Falconer & Mackay (1996), eq. 4.5.
    """
    if not sizes or min(sizes) <= 0:
        raise Problem("give the effective size of each generation, above 0", "sizes")
    return len(sizes) / sum(1.0 / size for size in sizes)


def effective_with_families(parents: int, variance: float) -> float:
    """Effective size when families differ, ``(4N − 2) / (V_k + 2)``, for a mean of two each.

    Parameters
    ----------
    parents : int
        N, at least 2.
    variance : float
        Of the number of young kept from each parent; 0 when all families count alike.

    Raises
    ------
    Problem
        If a value is outside its range.

    References
    ----------
    Wright (1938); Falconer & Mackay (1996), eq. 4.8 (approximate).
    """
    if parents < 2 or variance < 0:
        raise Problem("give 2 parents or more and a variance of 0 or more", "parents")
    return (4.0 * parents - 2.0) / (variance + 2.0)
