"""The codes that new fish go by: as typed, or a prefix with the next free numbers."""

import re
from collections.abc import Collection

from app.services.refusals import Refused

LONGEST = 30
MOST = 40
"""So many fish at once are believed; more is a slip of the finger, or a batch (judgement)."""


def prefix_of(line_name: str) -> str:
    """Return the letters that codes of a line begin with: the initials of its words."""
    words = re.findall(r"[^\W\d_]+", line_name)
    if not words:
        return "F"
    return (words[0][:2] if len(words) == 1 else "".join(word[0] for word in words[:3])).upper()


def next_codes(prefix: str, number: int, taken: Collection[str]) -> list[str]:
    """Return ``number`` codes of a prefix, counting on from the highest number in use."""
    pattern = re.compile(re.escape(prefix) + r"(\d+)", re.IGNORECASE)
    used = [int(found[1]) for code in taken if (found := pattern.fullmatch(code)) and len(found[1]) < 9]
    first = max(used, default=0) + 1
    return [f"{prefix}{first + step}" for step in range(number)]


def chosen_codes(typed: str, number: int, line_name: str, taken: Collection[str]) -> list[str]:
    """Return the codes for ``number`` fish from what was typed.

    Nothing typed takes the line's initials; one word for several fish is numbered on; otherwise
    there is one code for each fish, parted by commas, semicolons or new lines.
    """
    if not 1 <= number <= MOST:
        raise Refused(f"{number} fish at once; give 1 to {MOST}.", "number")
    codes = [" ".join(each.split()) for each in re.split(r"[,;\n]+", typed) if each.strip()]
    if not codes:
        return next_codes(prefix_of(line_name), number, taken)
    if len(codes) == 1 and number > 1:
        codes = _numbered_on(codes[0], number, taken)
    if len(codes) != number:
        raise Refused(
            f"{len(codes)} codes for {number} fish. Give one code for each, one word to be numbered on, "
            "or none.",
            "codes",
        )
    check_codes(codes, taken)
    return codes


def _numbered_on(word: str, number: int, taken: Collection[str]) -> list[str]:
    """Return codes from a word: ``A`` counts on from the highest in use, ``A4`` begins there."""
    found = re.fullmatch(r"(.*?)(\d{1,8})", word)
    if found is None:
        return next_codes(word, number, taken)
    return [f"{found[1]}{int(found[2]) + step}" for step in range(number)]


def check_codes(codes: Collection[str], taken: Collection[str], field: str = "codes") -> None:
    """Refuse codes that are empty, too long, given twice or in use."""
    used = {code.lower() for code in taken}
    for code in codes:
        if not code:
            raise Refused("Give the fish a code, like A1.", field)
        if len(code) > LONGEST:
            raise Refused(f"{code[:LONGEST]}… is too long for a code; give at most {LONGEST} letters.", field)
        if code.lower() in used:
            raise Refused(f"There is a fish {code} already. Choose another code.", field)
        used.add(code.lower())
