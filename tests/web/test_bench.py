"""The water bench's pages."""

import pytest

from app.queries.bench.catalogue import CALCULATORS, Calculator
from app.web.forms.bench import FORMS
from tests.support.client import Visitor


def test_the_bench_lists_every_calculator(visit: Visitor) -> None:
    page = visit.open("/water-bench")
    links = {link.get("href") for link in page.all("a")}
    assert {f"/water-bench/{key}" for key in FORMS} <= links


@pytest.mark.parametrize("about", CALCULATORS.values(), ids=lambda c: c.key)
def test_a_calculator_opens_and_answers_its_example(visit: Visitor, about: Calculator) -> None:
    asked = visit.open(f"/water-bench/{about.key}")
    assert "The working" not in asked.words
    page = visit.open(f"/water-bench/{about.key}?{about.example}")
    assert "The answer" in page.words
