"""What salts and blends do to general and carbonate hardness, by stoichiometry."""

from collections.abc import Sequence
from dataclasses import dataclass

from app.core.method import Method
from app.core.problems import Problem
from app.core.water.atoms import WEIGHTS, atoms, molar_mass
from app.core.water.mixing import Part, blended
from app.core.water.units import CACO3, MEQ_PER_DKH, MG_L_CACO3_PER_DH, MMOL_PER_DH

CHARGES = {"Na": 1, "K": 1, "Mg": 2, "Ca": 2}
EXAMPLES = "CaSO4·2H2O, CaCl2·2H2O, MgSO4·7H2O, NaHCO3, KHCO3, CaCO3"

METHOD = Method(
    "hardness",
    "Hardness from salts and blends",
    (
        "General hardness (GH) counts calcium and magnesium; carbonate hardness (KH) counts what binds acid.",
        "What a gram adds follows from the formula alone; a product without one goes by its label's figure.",
        "Waters poured together give the mean by volume, for GH and KH alike.",
    ),
    (
        "1 °dH = 10 mg/L CaO = 0.1783 mmol/L Ca + Mg = 17.848 mg/L CaCO₃",
        "ΔGH = n(Ca + Mg)·m / (M·V·0.1783)",
        "ΔKH = (Na + K + 2 Mg + 2 Ca − Cl − 2 SO₄)·m / (M·V·0.35665)",
    ),
    (
        "DIN 38409-6 for the degree",
        "Prohaska et al. (2022), Pure Appl. Chem. 94:573, for the atomic weights",
        "Standard Methods 2340 B, for hardness from calcium and magnesium",
    ),
    "Chalk dissolves slowly and only as far as the water's acid allows. Change hardness in small steps.",
)


@dataclass(frozen=True, slots=True)
class Rise:
    """How much GH and KH go up, in German degrees."""

    gh_dh: float
    kh_dh: float

    @property
    def gh_mg_per_l(self) -> float:
        """GH as mg/L CaCO3."""
        return self.gh_dh * MG_L_CACO3_PER_DH

    @property
    def kh_mg_per_l(self) -> float:
        """KH as mg/L CaCO3."""
        return self.kh_dh * MG_L_CACO3_PER_DH


@dataclass(frozen=True, slots=True)
class Water:
    """Some water and its hardness."""

    litres: float
    gh_dh: float
    kh_dh: float


@dataclass(frozen=True, slots=True)
class Label:
    """A product's own figure: so many grams in so many litres raise GH and KH by so much."""

    grams: float
    litres: float
    gh_dh: float
    kh_dh: float = 0.0


def rise(formula: str, grams: float, litres: float) -> Rise:
    """Rise of GH and KH when a salt is dissolved.

    Parameters
    ----------
    formula : str
        A chloride, sulphate, carbonate or bicarbonate of Na, K, Mg or Ca, with its crystal water.
    grams : float
        Pure salt, 0 up.
    litres : float
        Above 0.

    Raises
    ------
    Problem
        If the formula is none of these, or an amount is impossible.

    References
    ----------
    DIN 38409-6; Prohaska et al. (2022), Pure Appl. Chem. 94:573.
    """
    hard, alkaline = _equivalents(formula)
    mmol_per_l = 1000.0 * _amount(grams, "grams") / molar_mass(formula) / _litres(litres)
    return Rise(hard * mmol_per_l / MMOL_PER_DH, alkaline * mmol_per_l / MEQ_PER_DKH)


def grams_for(
    formula: str, litres: float, *, gh_dh: float | None = None, kh_dh: float | None = None
) -> float:
    """Grams of a salt that raise GH, or KH, by so many degrees.

    Parameters
    ----------
    formula : str
        As for :func:`rise`.
    litres : float
        Above 0.
    gh_dh, kh_dh : float, optional
        Exactly one of the two, 0 up.

    Raises
    ------
    Problem
        If the salt does not raise it, or not exactly one rise is asked for.
    """
    if (gh_dh is None) == (kh_dh is None):
        raise Problem("give exactly one of gh_dh and kh_dh", "gh_dh")
    one = rise(formula, 1.0, litres)
    each, wanted = (one.kh_dh, kh_dh) if gh_dh is None else (one.gh_dh, gh_dh)
    if each == 0:
        raise Problem(f"{formula} does not raise that; give another salt", "formula")
    return _amount(wanted or 0.0, "degrees") / each


def rise_by_label(label: Label, grams: float, litres: float) -> Rise:
    """Rise by a product's own label figure, in proportion.

    Parameters
    ----------
    label : Label
        Grams and litres above 0.
    grams, litres : float
        What is added to how much.

    Raises
    ------
    Problem
        If an amount is impossible.
    """
    per = _litres(label.grams, "label_grams") / _litres(label.litres, "label_litres")
    scale = _amount(grams, "grams") / _litres(litres) / per
    return Rise(label.gh_dh * scale, label.kh_dh * scale)


def blend(parts: Sequence[Water]) -> Rise:
    """GH and KH of waters poured together, the mean by volume.

    Parameters
    ----------
    parts : Sequence[Water]
        At least one with litres above 0.

    Raises
    ------
    Problem
        If there is no water.
    """
    return Rise(
        blended([Part(part.litres, part.gh_dh) for part in parts]),
        blended([Part(part.litres, part.kh_dh) for part in parts]),
    )


def share_of_soft(hard_dh: float, soft_dh: float, target_dh: float) -> float:
    """Share of soft water in a blend that meets a target, ``(hard − target) / (hard − soft)``.

    Parameters
    ----------
    hard_dh, soft_dh, target_dh : float
        Degrees; the target lies between the two.

    Raises
    ------
    Problem
        If the target lies outside.
    """
    if not soft_dh <= target_dh <= hard_dh or hard_dh == soft_dh:
        raise Problem(
            f"{target_dh:g} °dH is not between {soft_dh:g} and {hard_dh:g}; give a target that is",
            "target_dh",
        )
    return (hard_dh - target_dh) / (hard_dh - soft_dh)


def gh_from_ions(calcium_mg_per_l: float, magnesium_mg_per_l: float) -> float:
    """GH in °dH from calcium and magnesium, ``(2.497 Ca + 4.118 Mg) / 17.848``.

    Parameters
    ----------
    calcium_mg_per_l, magnesium_mg_per_l : float
        0 up.

    Raises
    ------
    Problem
        If either is below zero.

    References
    ----------
    Standard Methods 2340 B; the coefficients follow from the atomic weights.
    """
    calcium = _amount(calcium_mg_per_l, "calcium_mg_per_l") * CACO3 / WEIGHTS["Ca"]
    magnesium = _amount(magnesium_mg_per_l, "magnesium_mg_per_l") * CACO3 / WEIGHTS["Mg"]
    return (calcium + magnesium) / MG_L_CACO3_PER_DH


def _equivalents(formula: str) -> tuple[int, int]:
    """Return moles of Ca + Mg and equivalents of alkalinity for each mole of the salt.

    The charge of the metals less that of chloride and sulphate is what (bi)carbonate must carry;
    the oxygen and hydrogen left over must then be crystal water, or it is another kind of salt.
    """
    n = atoms(formula)
    metals = sum(charge * n.get(metal, 0) for metal, charge in CHARGES.items())
    alkaline = metals - n.get("Cl", 0) - 2 * n.get("S", 0)
    bicarbonate = 2 * n.get("C", 0) - alkaline
    water = n.get("O", 0) - 4 * n.get("S", 0) - 3 * n.get("C", 0)
    known = n.keys() <= {*CHARGES, "Cl", "S", "C", "O", "H"}
    balanced = 0 <= bicarbonate <= n.get("C", 0) and water >= 0 and n.get("H", 0) == bicarbonate + 2 * water
    if not (known and balanced and metals):
        raise Problem(f"{formula!r} is no mineral salt reckoned here; give one such as {EXAMPLES}", "formula")
    return n.get("Ca", 0) + n.get("Mg", 0), alkaline


def _amount(value: float, field: str) -> float:
    if not value >= 0:
        raise Problem(f"{value:g} is below zero; give 0 or more", field)
    return value


def _litres(value: float, field: str = "litres") -> float:
    if not value > 0:
        raise Problem(f"{value:g} cannot be; give an amount above 0", field)
    return value
