"""Many lengths at once, as people type them or copy them out of a spreadsheet."""

import re

from app.core.problems import Problem
from app.core.quantities.parsing import parse_length
from app.core.quantities.units import LENGTHS, Units

MOST = 500
"""So many fish at once are believed; more is a slip of the paste (judgement)."""

AMOUNT = r"""(?:\d+\s+\d+\s*/\s*\d+|\d+\s*/\s*\d+|[½¼¾⅓⅔⅛⅜⅝⅞]|\d+\s*[½¼¾⅓⅔⅛⅜⅝⅞]|\d*[.,]?\d+)"""
UNIT = r"""(?:\s*(?:mm|cm|in\b\.?|inch(?:es)?|''|["″”]))?"""
ONE = re.compile(AMOUNT + UNIT, re.IGNORECASE)
BREAKS = re.compile(r"[\n\r\t;|]+|,\s+")


def parse_lengths(text: str, units: Units = Units.METRIC, field: str = "lengths") -> tuple[float, ...]:
    """Return millimetres, one for each length in ``text``.

    Parameters
    ----------
    text : str
        Such as ``12.5 13 12,8`` or a column of a spreadsheet. Spaces, tabs, semicolons, new lines and
        commas part the values; a comma between two figures is a decimal comma unless the same piece
        has a point, or several commas. A first line of words is taken for the column's head, and a
        unit in it ("Length (cm)") is meant for the bare numbers below it.
    units : Units
        The keeper's units: a bare number is mm for a metric keeper and inches otherwise.
    field : str
        Name for the error.

    Raises
    ------
    Problem
        If nothing is given, too much is, or a value is no length; the message names the value.
    """
    pieces = [piece.strip() for piece in BREAKS.split(text) if piece.strip()]
    unit = ""
    if len(pieces) > 1 and not re.search(r"\d", pieces[0]):
        unit = _unit_of(pieces.pop(0))
    values = [value for piece in pieces for value in _values(piece)]
    if not values:
        raise Problem("no lengths; type them one after another, such as 12.5 13 12.8", field)
    if len(values) > MOST:
        raise Problem(f"{len(values)} lengths at once; give up to {MOST}", field)
    return tuple(_one(values, at, unit, units, field) for at in range(len(values)))


def _unit_of(head: str) -> str:
    """Return the unit a column's head names, or nothing."""
    words = re.findall(r"[a-z]+", head.lower())
    return next((word for word in words if word in LENGTHS and word not in {"in", "m"}), "") or (
        "in" if words[-1:] == ["in"] else ""
    )


def _values(piece: str) -> list[str]:
    """Part what stands between breaks: spaces, and commas that are no decimal commas."""
    if " " not in piece and (piece.count(",") > 1 or ("." in piece and "," in piece)):
        piece = piece.replace(",", " ")
    found, at = [], 0
    while at < len(piece):
        if piece[at] in " ,":
            at += 1
            continue
        match = ONE.match(piece, at)
        end = match.end() if match and _ends(piece, match.end()) else _word_end(piece, at)
        found.append(piece[at:end].strip())
        at = end
    return found


def _ends(piece: str, at: int) -> bool:
    """Say whether a value can end here."""
    return at >= len(piece) or piece[at] in " ,"


def _word_end(piece: str, at: int) -> int:
    end = piece.find(" ", at)
    return len(piece) if end < 0 else end


def _one(values: list[str], at: int, unit: str, units: Units, field: str) -> float:
    value = values[at]
    bare = not re.search(r"[a-z\"″”']", value, re.IGNORECASE)
    try:
        return parse_length(f"{value} {unit}" if bare and unit else value, units, field)
    except Problem as problem:
        where = f"value {at + 1} of {len(values)}: " if len(values) > 1 else ""
        raise Problem(f"{where}{problem.message}", field) from problem
