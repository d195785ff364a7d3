"""Whether fry of a length get through a gap of a width."""

from enum import StrEnum

from app.core.problems import Problem

# Widest rigid part of a young livebearer, the head, as a share of its total length. Judgement from the
# slender build of newborn fry; heads are narrower in mollies and swordtails than in goodeids.
SLIM, BROAD = 0.10, 0.20


class Passing(StrEnum):
    """What a gap does to fry of one length."""

    THROUGH = "pass"
    MAY = "may pass"
    HELD = "held"


def passing(length_mm: float, gap_mm: float) -> Passing:
    """Say whether fry pass a gap, by the width of their heads.

    Parameters
    ----------
    length_mm : float
        Total length of the smallest, above 0.
    gap_mm : float
        Widest gap, above 0.

    Raises
    ------
    Problem
        If one of them is not above 0.

    Notes
    -----
    Heads are taken to be 10 to 20 % of the total length wide (judgement): wider gaps let all
    through, narrower ones none.
    """
    for value, field in ((length_mm, "length_mm"), (gap_mm, "gap_mm")):
        if not value > 0:
            raise Problem(f"{value:g} mm cannot be; give more than 0", field)
    if gap_mm >= BROAD * length_mm:
        return Passing.THROUGH
    return Passing.HELD if gap_mm <= SLIM * length_mm else Passing.MAY
