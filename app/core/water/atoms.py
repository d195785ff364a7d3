"""Atomic weights and what a formula weighs."""

import re
from functools import lru_cache

from app.core.problems import Problem

# CIAAW abridged standard atomic weights 2021 (Prohaska et al. 2022, Pure Appl. Chem. 94:573);
# the figures are from memory, the molar masses made of them are checked against published ones.
WEIGHTS = {
    "H": 1.008,
    "Li": 6.94,
    "B": 10.81,
    "C": 12.011,
    "N": 14.007,
    "O": 15.999,
    "F": 18.998,
    "Na": 22.990,
    "Mg": 24.305,
    "Al": 26.982,
    "Si": 28.085,
    "P": 30.974,
    "S": 32.06,
    "Cl": 35.45,
    "K": 39.098,
    "Ca": 40.078,
    "Mn": 54.938,
    "Fe": 55.845,
    "Cu": 63.546,
    "Zn": 65.38,
    "Br": 79.904,
    "Sr": 87.62,
    "I": 126.90,
    "Ba": 137.33,
}
SUBSCRIPTS = str.maketrans("₀₁₂₃₄₅₆₇₈₉", "0123456789")
TOKEN = re.compile(r"(?P<atom>[A-Z][a-z]?)(?P<count>\d*)|(?P<open>[(\[])|(?P<close>[)\]])(?P<times>\d*)")
WATER_APART = re.compile(r"(?<=[\w)\]])\s+(?=\d)")
"""Before the crystal water of ``CaSO4 2H2O``, where some write a space for the dot."""
PART = re.compile(r"(\d*)(.+)", re.DOTALL)
EXAMPLE = "a formula such as CaSO4·2H2O"


@lru_cache(maxsize=256)
def atoms(formula: str) -> dict[str, int]:
    """Return how many of each atom a formula holds.

    Parameters
    ----------
    formula : str
        Hydrates may be joined by a middle dot, a full stop or an asterisk: ``CaCl2·2H2O``,
        ``CaCl2.2H2O``, ``CaCl2*2H2O``.

    Raises
    ------
    Problem
        If it is no formula, or holds an element that is not in the table.
    """
    dotted = WATER_APART.sub("·", formula)
    plain = re.sub(r"\s", "", dotted).translate(SUBSCRIPTS)
    total: dict[str, int] = {}
    for part in re.split(r"[·.*•⋅∙]", plain):
        found = PART.fullmatch(part)
        if found is None:
            raise Problem(f"{formula!r} is not a formula; give {EXAMPLE}", "formula")
        for atom, count in _group(found[2], formula).items():
            total[atom] = total.get(atom, 0) + count * int(found[1] or 1)
    return total


def molar_mass(formula: str) -> float:
    """Return grams per mole, ``Σ n_i A_i``.

    Parameters
    ----------
    formula : str
        As for :func:`atoms`.

    References
    ----------
    Prohaska et al. (2022), Pure Appl. Chem. 94:573 (abridged standard atomic weights 2021).
    """
    return sum(WEIGHTS[atom] * count for atom, count in atoms(formula).items())


def _group(text: str, formula: str) -> dict[str, int]:
    stack: list[dict[str, int]] = [{}]
    at = 0
    while at < len(text):
        token = TOKEN.match(text, at)
        if token is None:
            raise Problem(f"{formula!r} is not a formula; give {EXAMPLE}", "formula")
        _take(token, stack, formula)
        at = token.end()
    if len(stack) != 1:
        raise Problem(f"a bracket is left open in {formula!r}; give {EXAMPLE}", "formula")
    return stack[0]


def _take(token: re.Match[str], stack: list[dict[str, int]], formula: str) -> None:
    if token["open"]:
        stack.append({})
    elif token["close"]:
        if len(stack) == 1:
            raise Problem(f"a bracket is closed but never opened in {formula!r}; give {EXAMPLE}", "formula")
        _add(stack[-2], stack.pop(), int(token["times"] or 1))
    elif token["atom"] in WEIGHTS:
        _add(stack[-1], {token["atom"]: 1}, int(token["count"] or 1))
    else:
        known = ", ".join(WEIGHTS)
        raise Problem(f"{token['atom']!r} in {formula!r} is not in the table; known: {known}", "formula")


def _add(to: dict[str, int], what: dict[str, int], times: int) -> None:
    for atom, count in what.items():
        to[atom] = to.get(atom, 0) + count * times
