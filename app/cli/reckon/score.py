"""Subject ``score``: how good past forecasts were."""

from typing import Any

from app.cli.reckon.fields import Field, described, number_field, optional
from app.cli.reckon.shapes import list_of, object_of
from app.cli.reckon.subject import Output, Subject
from app.core.scoring import Forecast, central, crps, pit
from app.core.stats.distributions import LogNormal, Normal, Table

P = number_field(0, 1, "probability")
ANY = number_field(-1e12, 1e12)
SPREAD = number_field(1e-9, 1e12)


def _table(cdf: list[dict[str, float]]) -> Table:
    return Table([row["x"] for row in cdf], [row["p"] for row in cdf])


def _table_field() -> Field[Table]:
    rows = list_of(object_of({"x": ANY, "p": P}), at_least=1)
    words = "P(X <= x) at rising x; all x whole: a staircase, as of days; otherwise joined by lines"
    return described(Field(rows.schema, lambda value: _table(rows.read(value))), words)


def _scored(
    normal: Normal | None, lognormal: LogNormal | None, cdf: Table | None, outcome: float
) -> tuple[Forecast, float]:
    given = normal or lognormal or cdf
    assert given is not None  # noqa: S101 (one_of has seen to it)
    return given, outcome


FORECAST = object_of(
    {
        "normal": optional(object_of({"mean": ANY, "sd": SPREAD}, Normal)),
        "lognormal": optional(
            object_of({"mu": number_field(-300, 300), "sigma": number_field(1e-9, 20)}, LogNormal)
        ),
        "cdf": optional(_table_field()),
        "outcome": ANY,
    },
    _scored,
    one_of=(("normal", "lognormal", "cdf"),),
)
ACCEPTS = object_of({"forecasts": list_of(FORECAST, at_least=1)})
SCORE = number_field(0, unit="in the outcome's unit; 0 is perfect")
RETURNS = object_of(
    {
        "crps": described(list_of(SCORE), "in input order"),
        "mean_crps": SCORE,
        "coverage_80": described(P, "share of outcomes within the central 80 %, ends included"),
        "mean_width_80": number_field(0, unit="in the outcome's unit"),
        "pit": described(list_of(P), "F(outcome), in input order; the middle of the step for whole x"),
    }
)


def run(item: dict[str, Any]) -> Output:
    """Score each forecast against its outcome."""
    forecasts: list[tuple[Forecast, float]] = item["forecasts"]
    scores = [max(crps(f, y), 0.0) for f, y in forecasts]
    windows = [central(f, 0.8) for f, _ in forecasts]
    held = [low <= y <= high for (low, high), (_, y) in zip(windows, forecasts, strict=True)]
    n = len(forecasts)
    return {
        "crps": scores,
        "mean_crps": sum(scores) / n,
        "coverage_80": sum(held) / n,
        "mean_width_80": sum(high - low for low, high in windows) / n,
        "pit": [pit(f, y) for f, y in forecasts],
    }


SUBJECT = Subject("score", ACCEPTS, RETURNS, run)
