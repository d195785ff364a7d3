"""``reckon dilution`` gives the series and its length."""

import pytest

from tests.cli.reckon.ask import ask, refusal


def test_the_series_to_a_target_is_as_long_as_needed() -> None:
    answer = ask("dilution", {"start": 80, "source": 0, "fraction": 0.3, "target": 20})
    assert answer["changes_needed"] == 4  # 2.N.1 of the published cases
    assert answer["after"] == pytest.approx([56.0, 39.2, 27.44, 19.208])


def test_a_given_number_of_changes_is_made() -> None:
    answer = ask("dilution", {"start": 100, "source": 0, "fraction": 0.5, "changes": 7})
    assert answer["after"][-1] == pytest.approx(0.78125)  # 2.SER.1
    assert answer["changes_needed"] == 7


def test_an_unreachable_target_is_refused() -> None:
    item = {"start": 60, "source": 25, "fraction": 0.5, "target": 20}
    assert refusal("dilution", item).startswith("target: 20 cannot be reached from 60")
    assert "give a larger fraction" in refusal("dilution", item | {"source": 0, "fraction": 1e-5})
    assert "given together" in refusal("dilution", item | {"changes": 2})
