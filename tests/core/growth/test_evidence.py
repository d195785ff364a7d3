"""Length checks are taken as measured, and refused with the way out when they can't be."""

from collections.abc import Sequence
from datetime import date, timedelta

import pytest

from app.core.growth import GrowthEvidence, LengthCheck, total_from_standard
from app.core.growth.evidence import tidy
from app.core.problems import Problem
from app.core.species import species

BORN = date(2026, 3, 1)


def day(n: int) -> date:
    return BORN + timedelta(days=n)


def evidence(
    checks: Sequence[LengthCheck], today: int = 60, targets: tuple[float, ...] = ()
) -> GrowthEvidence:
    return GrowthEvidence(species("guppy"), BORN, day(today), checks=checks, targets_mm=targets)


def test_a_check_adds_up_its_fish() -> None:
    check = LengthCheck(day(30), (14.0, 15.0, 16.0))
    assert (check.n, check.mean_mm, check.sd_mm) == (3, 15.0, 1.0)


def test_one_fish_has_no_spread() -> None:
    assert LengthCheck(day(30), (14.0,)).sd_mm is None


def test_standard_length_becomes_total_length() -> None:
    assert total_from_standard(20.0) == pytest.approx(24.69, abs=0.01)
    with pytest.raises(Problem, match="give mm above 0"):
        total_from_standard(-1)


@pytest.mark.parametrize(
    ("lengths", "says"),
    [
        ((14.0, -3.0), r"a length of -3 mm on 2026-03-31 can't be; give mm above 0"),
        ((float("nan"),), "can't be; give mm above 0"),
        ((), "the length check of 2026-03-31 holds no fish; measure at least one"),
    ],
)
def test_impossible_lengths_are_refused(lengths: tuple[float, ...], says: str) -> None:
    with pytest.raises(Problem, match=says):
        LengthCheck(day(30), lengths)


@pytest.mark.parametrize(
    ("n", "mean", "sd", "says"),
    [
        (0, 14.0, 1.0, "holds no fish"),
        (5, -14.0, 1.0, "a mean of -14 mm on 2026-03-31 can't be"),
        (5, 14.0, -1.0, "a standard deviation of -1 mm can't be; give 0 or more"),
        (1, 14.0, 2.0, r"one fish has no standard deviation \(2 mm was given\); leave it out"),
    ],
)
def test_impossible_summaries_are_refused(n: int, mean: float, sd: float, says: str) -> None:
    with pytest.raises(Problem, match=says):
        LengthCheck.summed(day(30), n, mean, sd)


def test_centimetres_by_mistake_are_caught() -> None:
    with pytest.raises(Problem) as refused:
        tidy(evidence([LengthCheck(day(30), (1.5, 1.6))]))
    assert refused.value.message == (
        "1.5 mm on 2026-03-31 is far shorter than a newborn guppy (7.5 mm); "
        "if that was cm, give 15; if inches, 38.1"
    )
    assert refused.value.field == "lengths_mm"


def test_a_fish_longer_than_its_species_is_caught() -> None:
    with pytest.raises(Problem, match="140 mm on 2026-03-31 is longer than any guppy"):
        tidy(evidence([LengthCheck(day(30), (140.0,))]))


@pytest.mark.parametrize(("when", "says"), [(-3, "lies before birth"), (90, "lies after today")])
def test_checks_lie_in_the_batchs_life(when: int, says: str) -> None:
    with pytest.raises(Problem, match=says):
        tidy(evidence([LengthCheck(day(when), (14.0,))]))


def test_a_birth_after_today_is_refused() -> None:
    with pytest.raises(Problem, match="born 2026-03-01 lies after today, 2026-02-27"):
        tidy(evidence([], today=-2))


def test_a_birth_ten_years_ago_is_refused() -> None:
    with pytest.raises(Problem, match="more than ten years before"):
        tidy(evidence([], today=5_000))


def test_a_target_of_nothing_is_refused() -> None:
    with pytest.raises(Problem, match="a target of 0 mm can't be"):
        tidy(evidence([], targets=(0.0,)))


def test_checks_come_in_order_of_date() -> None:
    late, early = LengthCheck(day(40), (18.0,)), LengthCheck(day(20), (12.0,))
    assert tidy(evidence([late, early])).checks == (early, late)


def test_two_checks_of_a_day_are_taken_together() -> None:
    both = tidy(evidence([LengthCheck(day(30), (14.0, 15.0)), LengthCheck(day(30), (16.0, 17.0))]))
    (one,) = both.checks
    whole = LengthCheck(day(30), (14.0, 15.0, 16.0, 17.0))
    assert (one.n, one.mean_mm) == (4, 15.5)
    assert one.sd_mm == pytest.approx(whole.sd_mm)
    assert both.notes == ("Two length checks of 31 March 2026 were taken together.",)


def test_a_check_given_twice_counts_once() -> None:
    check = LengthCheck(day(30), (14.0, 15.0))
    both = tidy(evidence([check, check]))
    assert both.checks == (check,)
    assert both.notes == ("The length check of 31 March 2026 was given twice; it counts once.",)
