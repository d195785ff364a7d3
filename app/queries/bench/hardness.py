"""Hardness made to measure: two waters blended, pure salts by stoichiometry, a product by its label."""

from dataclasses import dataclass

from app.core.cautions import Caution
from app.core.problems import Problem
from app.core.quantities import Units, show_hardness, show_mass, show_share, show_volume
from app.core.water.atoms import molar_mass
from app.core.water.hardness import Label, Rise, Water, blend, grams_for, rise, rise_by_label, share_of_soft
from app.core.water.units import MEQ_PER_DKH, MMOL_PER_DH
from app.queries.bench.answers import Answer, BlendToLog, DoseToLog, Table, fig, litres_line, one_of

SALTS = (
    ("CaSO4·2H2O", "gypsum"),
    ("CaCl2·2H2O", "calcium chloride dihydrate"),
    ("CaCl2", "calcium chloride, free of water"),
    ("MgSO4·7H2O", "Epsom salt"),
    ("MgCl2·6H2O", "magnesium chloride hexahydrate"),
    ("NaHCO3", "baking soda"),
    ("KHCO3", "potassium bicarbonate"),
)
NAMES = dict(SALTS)
CALCIUM, MAGNESIUM, CARBONATE = SALTS[:3], SALTS[3:5], SALTS[5:]
CALCIUM_SHARE = 0.75  # three degrees of calcium to one of magnesium: common practice, no source
QUICK_DH = 3.0  # the limit for one day that acclimation uses; common practice, no source

SMALL_STEPS = Caution(
    "Fish feel a sudden change of hardness. Make the water up beforehand and bring it in by ordinary "
    "changes, over days.",
    "Small steps",
)


@dataclass(frozen=True, slots=True)
class Tap:
    """One of two waters; KH may be unknown."""

    gh_dh: float | None
    kh_dh: float | None


def mix(
    units: Units, litres: float, first: Tap, second: Tap, *, gh: float | None, kh: float | None
) -> Answer:
    """Reckon how much of two waters meets a wished GH or KH."""
    if not one_of(gh, kh):
        raise Problem("two waters can meet one wish: give GH or KH, and see what the other becomes", "gh")
    name, field = ("GH", "gh") if kh is None else ("KH", "kh")
    one, two = (first.gh_dh, second.gh_dh) if kh is None else (first.kh_dh, second.kh_dh)
    if one is None or two is None:
        raise Problem(
            f"the {name} of both waters must be known for that",
            f"{'first' if one is None else 'second'}_{field}",
        )
    wish = (gh if kh is None else kh) or 0.0
    share = _share_of_second(one, two, wish, name, field)
    parts = (litres * (1.0 - share), litres * share)
    return Answer(
        f"Mix {show_volume(parts[0], units)} of the first water "
        f"with {show_volume(parts[1], units)} of the second.",
        (
            f"That is {show_share(1 - share)} of the first and {show_share(share)} of the second.",
            *_becomes(units, first, second, parts),
        ),
        (
            *litres_line(litres, units),
            (
                f"share of the second = ({name}₁ − {name}) / ({name}₁ − {name}₂) = "
                f"({fig(one)} − {fig(wish)}) / ({fig(one)} − {fig(two)}) = {fig(share)}"
            ),
            f"{fig(share)} × {fig(litres)} L = {fig(parts[1])} L; the rest, {fig(parts[0])} L, is the first",
        ),
        logs=(BlendToLog((first.gh_dh, first.kh_dh), (second.gh_dh, second.kh_dh), share),),
        cautions=(PH_NEVER, SMALL_STEPS),
    )


PH_NEVER = Caution("pH never blends in proportion: measure it once the blend has stood.", "pH", "note")


def _share_of_second(one: float, two: float, wish: float, name: str, field: str) -> float:
    low, high = min(one, two), max(one, two)
    if low == high:
        raise Problem(f"both waters have {name} {one:g} °dH; no blend changes that", field)
    if not low <= wish <= high:
        raise Problem(
            f"{name} {fig(wish)} °dH lies outside both waters; "
            f"give {fig(low)} to {fig(high)} °dH, or use salts",
            field,
        )
    soft = share_of_soft(high, low, wish)
    return soft if two == low else 1.0 - soft


def _becomes(units: Units, first: Tap, second: Tap, parts: tuple[float, float]) -> tuple[str, ...]:
    made = blend(
        [Water(n, tap.gh_dh or 0.0, tap.kh_dh or 0.0) for n, tap in zip(parts, (first, second), strict=True)]
    )
    known = [
        f"{name} {show_hardness(value, units)}"
        for name, value, taps in (
            ("GH", made.gh_dh, (first.gh_dh, second.gh_dh)),
            ("KH", made.kh_dh, (first.kh_dh, second.kh_dh)),
        )
        if None not in taps
    ]
    return (f"The blend has {' and '.join(known)}.",)


@dataclass(frozen=True, slots=True)
class Recipe:
    """Which salts raise GH and KH, and how much of GH is calcium."""

    calcium: str
    magnesium: str
    carbonate: str
    calcium_share: float = CALCIUM_SHARE


def remineralise(units: Units, litres: float, now: Rise, wish: Rise, recipe: Recipe) -> Answer:
    """Reckon grams of pure salts that bring water from one hardness to another."""
    gh, kh = wish.gh_dh - now.gh_dh, wish.kh_dh - now.kh_dh
    _only_up("GH", gh, now.gh_dh, "wish_gh")
    _only_up("KH", kh, now.kh_dh, "wish_kh")
    doses = [
        dose
        for dose in (
            _gh_dose(recipe.calcium, litres, gh * recipe.calcium_share),
            _gh_dose(recipe.magnesium, litres, gh * (1.0 - recipe.calcium_share)),
            _kh_dose(recipe.carbonate, litres, kh),
        )
        if dose.grams > 0
    ]
    if not doses:
        return Answer("Add nothing: the water is there already.")
    return Answer(
        f"Dissolve {_all(doses)} in {show_volume(litres, units)}.",
        (f"GH rises by {show_hardness(gh, units)}, KH by {show_hardness(kh, units)}.",),
        (*litres_line(litres, units), *(dose.line for dose in doses)),
        tables=(
            Table("Salt by salt", ("Salt", "Formula", "Grams", "Raises"), tuple(dose.row for dose in doses)),
        ),
        cautions=(SMALL_STEPS,) if max(gh, kh) > QUICK_DH else (),
        logs=tuple(DoseToLog(dose.grams, NAMES[dose.formula], dose.formula) for dose in doses),
    )


@dataclass(frozen=True, slots=True)
class _Dose:
    formula: str
    grams: float
    raises: str
    line: str

    @property
    def row(self) -> tuple[str, ...]:
        return (NAMES[self.formula].capitalize(), self.formula, show_mass(self.grams), self.raises)


def _gh_dose(formula: str, litres: float, degrees: float) -> _Dose:
    grams = grams_for(formula, litres, gh_dh=degrees)
    line = (
        f"{NAMES[formula]}: {fig(degrees)} °dH × {MMOL_PER_DH:.4f} mmol/L × {fig(litres)} L × "
        f"{molar_mass(formula):.2f} g/mol / 1000 = {fig(grams)} g"
    )
    return _Dose(formula, grams, f"GH {fig(rise(formula, grams, litres).gh_dh)} °dH", line)


def _kh_dose(formula: str, litres: float, degrees: float) -> _Dose:
    grams = grams_for(formula, litres, kh_dh=degrees)
    line = (
        f"{NAMES[formula]}: {fig(degrees)} °dH × {MEQ_PER_DKH:.4f} mmol/L × {fig(litres)} L × "
        f"{molar_mass(formula):.2f} g/mol / 1000 = {fig(grams)} g"
    )
    return _Dose(formula, grams, f"KH {fig(rise(formula, grams, litres).kh_dh)} °dH", line)


def _only_up(name: str, by: float, now: float, field: str) -> None:
    if by < 0:
        raise Problem(
            f"salts only raise {name}, and the water has {fig(now)} °dH; blend it with softer water", field
        )


def _all(doses: list[_Dose]) -> str:
    named = [f"{show_mass(dose.grams)} of {NAMES[dose.formula]}" for dose in doses]
    return named[0] if len(named) == 1 else f"{', '.join(named[:-1])} and {named[-1]}"


def by_label(units: Units, litres: float, label: Label, wanted_gh: float) -> Answer:
    """Reckon grams of a product that raise GH by so much, from the figure on its label."""
    each = rise_by_label(label, 1.0, litres)
    if each.gh_dh == 0:
        raise Problem("a product that does not raise GH cannot; give the label's figure", "label_gh")
    grams = wanted_gh / each.gh_dh
    with_kh = rise_by_label(label, grams, litres).kh_dh
    also = (
        f"KH rises by {show_hardness(with_kh, units)} with it." if label.kh_dh else "KH stays, by the label."
    )
    return Answer(
        f"Dissolve {show_mass(grams)} in {show_volume(litres, units)}.",
        (also,),
        (
            *litres_line(litres, units),
            f"the label: {fig(label.grams)} g in {fig(label.litres)} L raise GH by {fig(label.gh_dh)} °dH",
            (
                f"m = {fig(wanted_gh)} °dH / {fig(label.gh_dh)} °dH × {fig(litres)} L / "
                f"{fig(label.litres)} L × {fig(label.grams)} g = {fig(grams)} g"
            ),
        ),
        cautions=(SMALL_STEPS,) if wanted_gh > QUICK_DH else (),
        logs=(DoseToLog(grams, "the product", gh_per_gram=label.gh_dh * label.litres / label.grams),),
    )
