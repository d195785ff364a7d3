"""How a model is described: in plain words, by formula and by source."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Method:
    """One model as the Methods page, the terminal and the why panel tell it.

    Each model's module declares its own ``METHOD`` beside the code that computes it, and
    :mod:`app.core.methods` collects them, so the page cannot drift from the model.
    """

    key: str
    title: str
    words: tuple[str, ...]
    formulas: tuple[str, ...]
    sources: tuple[str, ...]
    caution: str = ""
