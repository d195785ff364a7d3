"""Weight from length, and how well fed a fish of that length looks on the scales."""

from app.core.problems import Problem


def weight_g(length_cm: float, a: float, b: float) -> float:
    """Weight (g) of a fish of a length (cm): W = a L^b.

    Guppies 0.008 and 3.0447 on total length (García et al. 2008); see the species' sources.

    References
    ----------
    Le Cren (1951), J. Anim. Ecol. 20:201.
    """
    if length_cm <= 0:
        raise Problem(f"a length of {length_cm:g} cm can't be; give cm above 0", "length_cm")
    return float(a * length_cm**b)


def fulton(weight: float, length_cm: float) -> float:
    """Fulton's condition factor: K = 100 W / L³ with W in g and L in cm.

    References
    ----------
    Ricker (1975), Bull. Fish. Res. Board Can. 191.
    """
    if weight <= 0 or length_cm <= 0:
        raise Problem("weight and length have to be above 0 (g and cm)", "weight")
    return 100 * weight / length_cm**3
