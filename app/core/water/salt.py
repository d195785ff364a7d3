"""How much salt is in a tank after every dose, change and top-up, and what brings it to a target."""

from collections.abc import Iterable
from dataclasses import dataclass

from app.core.method import Method
from app.core.problems import Problem
from app.core.quantities.units import TBSP_G
from app.core.water.mixing import after_change
from app.core.water.seawater import density_kg_per_m3

SPOON_G = TBSP_G  # 1 US tablespoon of table salt; USDA SR Legacy, "Salt, table" (NDB 02047)
SATURATED_G_PER_L = 317.0  # sodium chloride in water at 25 °C; handbook value, from memory

METHOD = Method(
    "salt",
    "Salt in the whole tank",
    (
        "Every gram is followed: a dose adds it, and a water change takes out its share.",
        "A top-up for evaporation takes nothing out, so the strength at the full mark stays.",
        "So the strength now is known, and the dose that restores it after a change is exact.",
        "A US tablespoon of table salt is about 18 g; coarse salt is lighter by the spoon, so weigh it.",
        "At these strengths grams per litre and parts per thousand are nearly the same figure.",
    ),
    ("c' = c + m/V for a dose", "c' = c·(1 − f) + c_src·f for a change", "m = (c_target − c)·V"),
    (
        "mass balance",
        "USDA SR Legacy, Salt, table (NDB 02047): 18.0 g a tablespoon",
        "Francis-Floyd (1995), UF/IFAS Fact Sheet VM 86, for dips and baths",
    ),
    "Salt harms plants, snails and soft-water fish. Watch the fish; ask a vet when in doubt.",
)


@dataclass(frozen=True, slots=True)
class Dose:
    """Grams of salt dissolved in the tank."""

    grams: float


@dataclass(frozen=True, slots=True)
class Change:
    """A share of the water replaced by water of its own strength."""

    fraction: float
    source_g_per_l: float = 0.0


@dataclass(frozen=True, slots=True)
class TopUp:
    """Fresh water in the place of what evaporated."""

    litres: float


@dataclass(frozen=True, slots=True)
class Band:
    """A range of strengths in use, how long it is borne, and who says so."""

    name: str
    low_g_per_l: float
    high_g_per_l: float
    words: str
    source: str


Event = Dose | Change | TopUp

VM86 = "Francis-Floyd (1995), UF/IFAS Fact Sheet VM 86"
BANDS = (
    Band("trace", 0.1, 2.0, "as long as needed, to ease the fish", f"{VM86} (this range from memory)"),
    Band("weak", 2.2, 2.6, "1 tbsp per 2 US gal, for weeks", "common practice, no source"),
    Band("strong", 4.4, 5.2, "1 tbsp per US gal, for days", "common practice, no source"),
    Band("bath", 5.0, 10.0, "for several hours, watched all the time", VM86),
    Band("dip", 28.0, 32.0, "30 seconds to 10 minutes, watched all the time", VM86),
)


def ledger(litres: float, events: Iterable[Event], start_g_per_l: float = 0.0) -> tuple[float, ...]:
    """Strength in g/L at the full mark after each event.

    Parameters
    ----------
    litres : float
        Water in the tank at its full mark, above 0.
    events : Iterable[Event]
        In the order of time.
    start_g_per_l : float
        Before the first of them.

    Raises
    ------
    Problem
        If an amount is below zero, more water is moved than there is, or the salt would not dissolve.
    """
    _check_litres(litres)
    now, levels = start_g_per_l, []
    for event in events:
        now = _after(event, now, litres)
        levels.append(now)
    return tuple(levels)


def dose_to(target_g_per_l: float, now_g_per_l: float, litres: float) -> float:
    """Grams that bring the tank to the target, ``(c_target − c)·V``; 0 when it is already there.

    Parameters
    ----------
    target_g_per_l, now_g_per_l : float
        Grams per litre, 0 up.
    litres : float
        Above 0.

    Raises
    ------
    Problem
        If the target is below zero or beyond what dissolves.
    """
    _check_litres(litres)
    if not 0 <= target_g_per_l <= SATURATED_G_PER_L:
        raise Problem(f"{target_g_per_l:g} g/L cannot be; give 0 to {SATURATED_G_PER_L:g}", "target_g_per_l")
    return max(0.0, (target_g_per_l - now_g_per_l) * litres)


def spoons(grams: float) -> float:
    """US tablespoons of table salt, by the USDA's 18.0 g.

    Parameters
    ----------
    grams : float
        Mass of salt.

    References
    ----------
    USDA SR Legacy, Salt, table (NDB 02047).
    """
    return grams / SPOON_G


def salinity_g_per_kg(salt_g: float, water_kg: float) -> float:
    """Salinity of salt dissolved in pure water, ``1000·m_s / (m_s + m_w)``.

    Parameters
    ----------
    salt_g : float
        Dry salt.
    water_kg : float
        Pure water, above 0.

    Raises
    ------
    Problem
        If there is no water or less than no salt.
    """
    if salt_g < 0 or water_kg <= 0:
        raise Problem("give 0 g of salt or more and more than 0 kg of water", "salt_g")
    return 1000.0 * salt_g / (salt_g + 1000.0 * water_kg)


def salt_per_kg_water(salinity: float) -> float:
    """Dry salt in g for one kg of pure water: the inverse of :func:`salinity_g_per_kg`.

    Parameters
    ----------
    salinity : float
        g/kg, 0 to 300.

    Raises
    ------
    Problem
        If the salinity is outside that.
    """
    if not 0 <= salinity <= 300:
        raise Problem(f"{salinity:g} g/kg cannot be; give 0 to 300", "salinity_g_per_kg")
    return 1000.0 * salinity / (1000.0 - salinity)


def salt_for_salinity(litres: float, salinity: float, temperature_c: float = 25.0) -> float:
    """Dry salt in g that brings litres of pure water to a salinity in g/kg.

    More than ``litres × salinity``, since the salt adds to the mass: 3.3 % more at 35 g/kg.

    Parameters
    ----------
    litres : float
        Pure water, above 0.
    salinity : float
        g/kg, 0 to 300.
    temperature_c : float
        Of the water, for its density.

    Raises
    ------
    Problem
        If a value is outside its range.
    """
    _check_litres(litres)
    return litres * density_kg_per_m3(0.0, temperature_c) / 1000.0 * salt_per_kg_water(salinity)


def _after(event: Event, now: float, litres: float) -> float:
    match event:
        case Dose(grams):
            if grams < 0:
                raise Problem(f"{grams:g} g is below zero; give grams of salt added", "grams")
            now += grams / litres
        case Change(fraction, source):
            now = after_change(now, source, fraction)
        case TopUp(added):
            if not 0 <= added <= litres:
                raise Problem(f"{added:g} L cannot evaporate from {litres:g} L; give less", "litres")
    if now > SATURATED_G_PER_L:
        raise Problem(f"{now:.0f} g/L would not dissolve; check grams and litres", "grams")
    return now


def _check_litres(litres: float) -> None:
    if not litres > 0:
        raise Problem(f"{litres:g} L is no tank; give litres above 0", "litres")
