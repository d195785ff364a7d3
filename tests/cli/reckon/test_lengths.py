"""The fields about young fish read what the contract says."""

from datetime import date

import pytest

from app.cli.reckon.lengths import checks_field
from app.core.growth import LengthCheck
from app.core.problems import Problem


def test_a_check_is_single_lengths_or_their_summary() -> None:
    single, summary = checks_field().read(
        [
            {"date": "2026-02-01", "lengths_mm": [14, 16]},
            {"date": "2026-03-01", "n": 9, "mean_mm": 19, "sd_mm": 1.5},
        ]
    )
    assert single == LengthCheck(date(2026, 2, 1), (14.0, 16.0))
    assert summary == LengthCheck.summed(date(2026, 3, 1), 9, 19.0, 1.5)


def test_a_summary_of_one_fish_needs_no_spread() -> None:
    (one,) = checks_field().read([{"date": "2026-02-01", "n": 1, "mean_mm": 14}])
    assert one.sd_mm is None


@pytest.mark.parametrize(
    ("given", "says"),
    [
        ({"date": "2026-02-01"}, "none given; give exactly one of: lengths_mm, mean_mm"),
        ({"date": "2026-02-01", "mean_mm": 14}, "makes sense only with n"),
        ({"date": "2026-02-01", "lengths_mm": []}, "0 entries; give at least 1"),
        ({"date": "2026-02-01", "lengths_mm": [-4]}, "-4 cannot be"),
        ({"date": "2026-02-01", "lengths_mm": [14], "mean_mm": 14, "n": 1}, "given together"),
    ],
)
def test_unclear_checks_are_refused(given: object, says: str) -> None:
    with pytest.raises(Problem, match=says):
        checks_field().read([given])
