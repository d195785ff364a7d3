"""How a typed amount splits into a number and a unit: decimals with point or comma, fractions, signs."""

import re
from fractions import Fraction

from app.core.problems import Problem

VULGAR = {
    "½": "1/2",
    "¼": "1/4",
    "¾": "3/4",
    "⅓": "1/3",
    "⅔": "2/3",
    "⅛": "1/8",
    "⅜": "3/8",
    "⅝": "5/8",
    "⅞": "7/8",
}
FIGURE = re.compile(
    r"""(?P<sign>[-−+]?)\s*
    (?: (?P<whole>\d+)[\s-]+(?P<above>\d+)\s*/\s*(?P<below>\d+)   # 1 1/2
      | (?P<top>\d+)\s*/\s*(?P<bottom>\d+)                        # 3/4
      | (?P<decimal>\d+(?:[.,]\d+)?|[.,]\d+)                      # 24.5  24,5  .5
    )(?P<unit>.*)""",
    re.VERBOSE | re.DOTALL,
)
LARGEST = 1e9
GROUPED = re.compile(r"[1-9]\d{0,2},\d{3}")


def split(text: str, field: str, example: str) -> tuple[float, str]:
    """Return the number and the unit's words, lower case and single-spaced.

    Raises
    ------
    Problem
        If there is no number, a fraction over zero, or a comma that can be read two ways.
    """
    plain = _plain(text)
    found = FIGURE.fullmatch(plain)
    if not plain:
        raise Problem(f"empty; give an amount such as {example}", field)
    if found is None or found["unit"].lstrip()[:1] in {".", ",", "/"} or found["unit"][:1].isdigit():
        raise Problem(f"{text.strip()!r} is not an amount; give one such as {example}", field)
    number = _number(found, text, field)
    if number > LARGEST:
        raise Problem(
            f"{found[0][:20]} is too much for any fishroom; give an amount such as {example}", field
        )
    return (-number if found["sign"] in {"-", "−"} else number), found["unit"].strip().lower()


def _plain(text: str) -> str:
    for sign, words in VULGAR.items():
        text = text.replace(sign, f" {words}")
    return " ".join(text.split())


def _number(found: re.Match[str], text: str, field: str) -> float:
    if found["decimal"] is not None:
        if GROUPED.fullmatch(found["decimal"]):
            joined, pointed = found["decimal"].replace(",", ""), found["decimal"].replace(",", ".")
            raise Problem(f"{text.strip()!r} can be read two ways; type {joined} or {pointed}", field)
        return float(found["decimal"].replace(",", "."))
    below = int(found["below"] or found["bottom"])
    if below == 0:
        raise Problem(f"{text.strip()!r} divides by nothing; give an amount such as 3/4", field)
    return float(int(found["whole"] or 0) + Fraction(int(found["above"] or found["top"]), below))
