"""Which subjects there are; each lives in the module of its name and is loaded only when asked for."""

import importlib

from app.cli.reckon.subject import Subject

SUMMARIES = {
    "birth": "when a dam drops next, and whether she is carrying at all",
    "growth": "length by date, with the dates of reaching given lengths",
    "sexing": "when a batch can be sexed, and by when it must be split",
    "survival": "how many will still be there",
    "salt": "grams per litre after every dose, change and top-up",
    "dilution": "what is left after a series of water changes",
    "hardness": "what salts and blends do to GH and KH",
    "ammonia": "the un-ionised share of total ammonia",
    "seawater": "density and specific gravity from salinity, and back",
    "oxygen": "dissolved oxygen at saturation",
    "nitrate": "production, the date of the ceiling, and the smallest weekly change",
    "acclimation": "dated steps from one water to another",
    "kinship": "inbreeding and kinship from a pedigree",
    "cross": "expected ratios of a cross, and whether a count fits them",
    "ratio": "whether a sex ratio is odd",
    "score": "how good past forecasts were",
}


def subject(name: str) -> Subject:
    """Load the subject called ``name``, which must be a key of ``SUMMARIES``."""
    found = importlib.import_module(f"app.cli.reckon.{name}").SUBJECT
    if not isinstance(found, Subject):
        raise TypeError(f"{name} exports no SUBJECT")
    return found
