"""How much of the ammonia a kit shows is poisonous, and what that means for the fish."""

from enum import StrEnum

from app.core.cautions import Caution
from app.core.problems import Problem
from app.core.quantities import show_temperature
from app.core.quantities.showing import trimmed
from app.core.quantities.units import Units
from app.core.water.ammonia import as_nh3, pka, unionised_fraction, unionised_n
from app.core.water.units import NH3_PER_N, NH4_PER_N
from app.queries.bench.answers import Answer, ChangeToLog, Facts, fig


class Kit(StrEnum):
    """As what a kit counts total ammonia."""

    NITROGEN = "nitrogen"
    NH3 = "nh3"
    NH4 = "nh4"


PER_N = {Kit.NITROGEN: 1.0, Kit.NH3: NH3_PER_N, Kit.NH4: NH4_PER_N}
WORDS = {
    Kit.NITROGEN: "nitrogen (NH₃-N, TAN)",
    Kit.NH3: "ammonia (NH₃)",
    Kit.NH4: "ammonium (NH₄)",
}

# Un-ionised ammonia as N, mg/L.
LASTING = 0.025 / NH3_PER_N  # EIFAC (1970), Technical Paper 11: 0.025 mg/L as NH3; figure from memory
HARMFUL = 0.05  # Francis-Floyd & Watson (1996), UF/IFAS FA-16: gill damage begins
DEADLY = 2.0  # the same sheet: fish die
MOST = 1000.0
RESCUE = 1 / 3
"""The share of the water that is changed at once where ammonia harms (common practice, no source)."""

EMERGENCY = Caution(
    "Change a third to half of the water now, with conditioned water of the same temperature and a pH that "
    "is no higher; stop feeding; give air; look for the cause (a dead fish, a stopped filter, too much "
    "food); measure again within hours.",
    "Act now",
    "harm",
)
HIGHER_PH = Caution(
    "Never raise pH or temperature while there is ammonia: both turn more of it poisonous. A big change with "
    "hard water can do so in an old, soft tank; several smaller ones are safer there.",
)


def ammonia(units: Units, shown: float, kit: Kit, ph: float, temperature_c: float) -> Answer:
    """Reckon the un-ionised part and say what it means."""
    if shown > MOST:
        raise Problem(f"{shown:g} mg/L is beyond any kit; check the figure", "shown")
    total = shown / PER_N[kit]
    poison = unionised_n(total, ph, temperature_c)
    share = unionised_fraction(ph, temperature_c)
    return Answer(
        f"{milligrams(poison)} of un-ionised ammonia, as nitrogen.",
        (
            meaning(poison),
            (
                f"As NH₃ molecules that is {milligrams(as_nh3(poison))}. "
                f"{trimmed(100 * share, 1 if share > 0.01 else 2)} % of the total is un-ionised."
            ),
        ),
        _working(shown, kit, ph, temperature_c, units),
        facts=(_other_ph(total, ph, temperature_c, units),),
        logs=(ChangeToLog(RESCUE),) if poison >= HARMFUL else (),
        cautions=(EMERGENCY, HIGHER_PH) if poison >= HARMFUL else (HIGHER_PH,) if total > 0 else (),
    )


def meaning(poison: float) -> str:
    """Say what so much un-ionised ammonia (mg/L as N) does."""
    if poison >= DEADLY:
        return f"Deadly: fish die at about {DEADLY:g} mg/L (UF/IFAS FA-16)."
    if poison >= HARMFUL:
        return f"Harmful: gills are damaged from {HARMFUL:g} mg/L on, and fry suffer first (UF/IFAS FA-16)."
    if poison >= LASTING:
        return (
            "Too much to last: above 0.025 mg/L as NH₃, the limit for lasting exposure (EIFAC 1970, from "
            "memory). Change water today and look for the cause."
        )
    if poison > 0:
        return (
            "Below the limit for lasting exposure, 0.025 mg/L as NH₃ (EIFAC 1970, from memory). "
            "A filter that has run in leaves none: look for the cause all the same."
        )
    return "None: as it should be."


def _working(shown: float, kit: Kit, ph: float, temperature_c: float, units: Units) -> tuple[str, ...]:
    kelvin, acid = 273.15 + temperature_c, pka(temperature_c)
    share, total = unionised_fraction(ph, temperature_c), shown / PER_N[kit]
    as_n = (
        () if kit is Kit.NITROGEN else (f"total as N = {fig(shown)} / {PER_N[kit]:.4f} = {fig(total)} mg/L",)
    )
    celsius = show_temperature(temperature_c, units)
    return (
        *as_n,
        f"{celsius} = {kelvin:.2f} K: pKa = 0.09018 + 2729.92 / {kelvin:.2f} = {acid:.3f}",
        f"f = 1 / (1 + 10^(pKa − pH)) = 1 / (1 + 10^({acid:.3f} − {ph:g})) = {fig(share)}",
        f"NH₃-N = {fig(total)} × {fig(share)} = {fig(total * share)} mg/L",
        f"as NH₃ = {fig(total * share)} × {NH3_PER_N:.4f} = {fig(as_nh3(total * share))} mg/L",
    )


def _other_ph(total: float, ph: float, temperature_c: float, units: Units) -> Facts:
    nearby = sorted({ph, *(6.5, 7.0, 7.5, 8.0, 8.5)})
    rows = tuple(
        (
            f"pH {trimmed(each, 2)}" + (" (now)" if each == ph else ""),
            milligrams(unionised_n(total, each, temperature_c)),
        )
        for each in nearby
    )
    return Facts(f"Un-ionised at other pH, {show_temperature(temperature_c, units)}", rows)


def milligrams(mg_per_l: float) -> str:
    """Return mg/L with the figures that matter."""
    decimals = 4 if mg_per_l < 0.01 else 3 if mg_per_l < 1 else 2
    return f"{trimmed(mg_per_l, decimals)} mg/L" if mg_per_l == 0 or mg_per_l >= 5e-5 else "under 0.0001 mg/L"
