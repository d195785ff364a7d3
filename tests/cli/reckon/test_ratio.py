"""``reckon ratio`` tests a sex ratio exactly."""

import pytest

from tests.cli.reckon.ask import ask, refusal
from tests.reference.published import Case, case


@pytest.mark.parametrize("published", [case("9.SEX.1"), case("9.SEX.3")], ids=lambda c: c.id)
def test_exact_sex_ratio(published: Case) -> None:
    males = published.inputs["males"]
    answer = ask("ratio", {"males": males, "females": published.inputs["n"] - males})
    found = [answer["p_value"], answer["interval_95"]["from"], answer["interval_95"]["to"]]
    assert found == pytest.approx(published.expected[:3], abs=published.tol)


def test_impossible_input_is_refused_by_place() -> None:
    assert refusal("ratio", {"males": 0, "females": 0}).startswith("males: no fish were counted")
    assert refusal("ratio", {"males": -1, "females": 2}).startswith("males: -1 cannot be")
    assert refusal("ratio", {"males": 1.5, "females": 2}).startswith("males: 1.5 is not a whole number")
    assert refusal("ratio", {"males": 1}).startswith("females: missing")
