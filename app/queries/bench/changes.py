"""Series of water changes: what so many leave, and how many it takes."""

from dataclasses import dataclass
from math import log

from app.core.cautions import Caution
from app.core.problems import Problem
from app.core.quantities import show_share
from app.core.quantities.showing import trimmed
from app.core.water.mixing import after_changes, changes_needed, fraction_needed, replaced_by_flow
from app.core.wording import many
from app.queries.bench.answers import Answer, ChangeToLog, Facts, fig, one_of

MOST_TIMES = 365
ROWS = 40
BIG = 0.5
"""More than half the water at once changes pH, warmth and hardness abruptly (common practice, no source)."""

BIG_CHANGE = Caution(
    "More than half the water at once is hard on fish unless the new water matches in temperature, "
    "hardness and pH.",
)


@dataclass(frozen=True, slots=True)
class Series:
    """Equal changes of something dissolved: what there is, and what the new water holds."""

    start: float
    source: float
    fraction: float

    @property
    def of_all(self) -> bool:
        """Whether the figures are simply a share of what was there."""
        return self.start == 100.0 and self.source == 0.0

    def said(self, level: float) -> str:
        """Return a level, in per cent where the start was 100."""
        return f"{_plain(level)} %" if self.of_all else _plain(level)


def series(given: Series, times: int | None, target: float | None) -> Answer:
    """Reckon what ``times`` changes leave, or how many reach ``target``; exactly one is asked."""
    if not one_of(times, target):
        raise Problem("give either the number of changes or the level to come down to, not both", "times")
    if times is not None:
        return _left(given, times)
    return _needed(given, target or 0.0)


def _left(given: Series, times: int) -> Answer:
    if not 1 <= times <= MOST_TIMES:
        raise Problem(f"{times} changes cannot be reckoned here; give 1 to {MOST_TIMES}", "times")
    levels = after_changes(given.start, given.source, [given.fraction] * times)
    verb = "leaves" if times == 1 else "leave"
    words = f"{_changes(given, times)} {verb} {given.said(levels[-1])}"
    words += " of what was there." if given.of_all else f", from {_plain(given.start)}."
    return Answer(
        words,
        _flow(given, times),
        (_power(given, times, levels[-1]),),
        facts=(_each(given, levels),),
        cautions=_big(given),
        logs=(ChangeToLog(given.fraction),),
    )


def _needed(given: Series, target: float) -> Answer:
    times = changes_needed(given.start, given.source, given.fraction, target)
    if times == 0:
        return Answer("None: the water is there already.")
    if times > MOST_TIMES:
        raise Problem(f"it would take {times:,} changes; change more each time", "change")
    levels = after_changes(given.start, given.source, [given.fraction] * times)
    reached = f"The last one leaves {given.said(levels[-1])}, at or past the wished {given.said(target)}."
    at_once = (
        f"One change of {show_share(fraction_needed(given.start, given.source, target))} would do it at once."
    )
    return Answer(
        f"{_changes(given, times)} {'is' if times == 1 else 'are'} needed.",
        (reached, *(() if times == 1 else (at_once,)), *_flow(given, times)),
        (_logarithms(given, target, times), _power(given, times, levels[-1])),
        facts=(_each(given, levels),),
        cautions=_big(given),
        logs=(ChangeToLog(given.fraction),),
    )


def _changes(given: Series, times: int) -> str:
    return f"{many(times, 'change')} of {show_share(given.fraction)}"


def _power(given: Series, times: int, level: float) -> str:
    start, source, f = fig(given.start), fig(given.source), fig(given.fraction)
    return (
        "c_n = c_src + (c₀ − c_src)·(1 − f)ⁿ = "
        f"{source} + ({start} − {source}) × (1 − {f})^{times} = {_plain(level)}"
    )


def _logarithms(given: Series, target: float, times: int) -> str:
    if given.fraction == 1.0:
        return "the whole water is replaced: n = 1"
    ratio = (target - given.source) / (given.start - given.source)
    exact = log(ratio) / log(1.0 - given.fraction)
    return (
        "n = ⌈ln((c_t − c_src) / (c₀ − c_src)) / ln(1 − f)⌉ = "
        f"⌈ln({fig(ratio)}) / ln({fig(1 - given.fraction)})⌉ = ⌈{exact:.2f}⌉ = {times}"
    )


def _flow(given: Series, times: int) -> tuple[str, ...]:
    left = 1.0 - replaced_by_flow(times * given.fraction)
    level = given.source + (given.start - given.source) * left
    return (f"The same amount of water let through slowly would leave {given.said(level)}.",)


def _each(given: Series, levels: tuple[float, ...]) -> Facts:
    pairs = tuple((f"Change {n}", given.said(level)) for n, level in enumerate(levels[:ROWS], 1))
    return Facts("Left after each change" + (f", the first {ROWS}" if len(levels) > ROWS else ""), pairs)


def _big(given: Series) -> tuple[Caution, ...]:
    return (BIG_CHANGE,) if given.fraction > BIG else ()


def _plain(level: float) -> str:
    size = abs(level)
    if size and size < 0.0005:
        return f"{level:.1g}" if size >= 1e-4 else "next to nothing"
    return trimmed(level, 4 if size < 0.01 else 3 if size < 0.1 else 2 if size < 10 else 1)
