"""Doses and levels are read as labels and people write them."""

import pytest

from app.core.problems import Problem
from app.core.quantities import Units
from app.core.quantities.dosing import parse_amount, parse_per_litre
from app.core.water.ledger import Held
from app.core.water.levels import Measure, show_amount, show_held, show_level

G, ML, PIECE = Measure.GRAM, Measure.MILLILITRE, Measure.PIECE


@pytest.mark.parametrize(
    ("text", "measure", "amount"),
    [
        ("5", G, 5.0),
        ("500 mg", G, 0.5),
        ("3", ML, 3.0),
        ("3.5 mL", ML, 3.5),
        ("0.1 L", ML, 100.0),
        ("2", PIECE, 2.0),
        ("1/2 tablet", PIECE, 0.5),
    ],
)
def test_amounts_in_their_measure(text: str, measure: Measure, amount: float) -> None:
    assert parse_amount(text, measure) == pytest.approx(amount)


def test_spoons_are_read_for_salt_alone() -> None:
    assert parse_amount("1 tbsp", G, of_salt=True) == 18.0
    with pytest.raises(Problem, match="weigh it"):
        parse_amount("1 tbsp", G)


@pytest.mark.parametrize(
    ("text", "measure", "level"),
    [
        ("12 mg/L", G, 0.012),
        ("1.5 g/L", G, 1.5),
        ("1 g per 40 L", G, 0.025),
        ("1 mL per 40 L", ML, 0.025),
        ("5 mL/100 L", ML, 0.05),
        ("1 tablet in 10 US gal", PIECE, 1 / 37.85411784),
        ("1 for 20 L", PIECE, 0.05),
    ],
)
def test_levels_and_label_doses(text: str, measure: Measure, level: float) -> None:
    assert parse_per_litre(text, measure) == pytest.approx(level)


def test_a_keepers_own_gallons_are_meant() -> None:
    assert parse_per_litre("1 mL per 10 gal", ML, Units.US) == pytest.approx(1 / 37.85411784)
    assert parse_per_litre("1 mL per 10 gal", ML, Units.IMPERIAL) == pytest.approx(1 / 45.4609)


@pytest.mark.parametrize("text", ["3 mL", "12", "0 mL per 40 L", "1 mL per 0 L", "a bit per tank", ""])
def test_what_is_no_level_is_refused(text: str) -> None:
    with pytest.raises(Problem) as refused:
        parse_per_litre(text, ML)
    assert refused.value.field == "level"


@pytest.mark.parametrize("text", ["two", "-1", "3 bottles"])
def test_what_is_no_number_of_pieces_is_refused(text: str) -> None:
    with pytest.raises(Problem):
        parse_amount(text, PIECE)


def test_levels_are_said_in_the_unit_people_use() -> None:
    assert show_held(Held.SALT, 2.449) == "2.45 g/L"
    assert show_held(Held.GH, 8.04) == "8 °dH"
    assert show_level(0.012, G) == "12 mg/L"
    assert show_level(1.5, G) == "1.5 g/L"
    assert show_level(0.025, ML) == "2.5 mL per 100 L"
    assert show_level(0.02, PIECE) == "2 pieces per 100 L"
    assert show_amount(0.25, G) == "250 mg"
    assert show_amount(1.0, PIECE) == "1 piece"
    assert show_amount(0.5, PIECE) == "0.5 pieces"


def test_a_spoon_of_a_liquid_is_a_volume_and_a_drop_is_not() -> None:
    """A US tablespoon is half a fluid ounce, 14.787 mL, and three teaspoons (NIST SP 811, App. B)."""
    assert parse_amount("1 tsp", ML) == pytest.approx(4.929, abs=0.001)
    assert parse_per_litre("1 tbsp per 10 gal", ML) == pytest.approx(14.787 / 37.854, rel=1e-3)
    with pytest.raises(Problem, match="count how many make 1 mL"):
        parse_amount("20 drops", ML)
