"""How pages say words."""

import pytest
from markupsafe import Markup

from app.web.filters import whole

NB, WJ = "\N{NO-BREAK SPACE}", "\N{WORD JOINER}"


@pytest.mark.parametrize(
    ("said", "kept"),
    [
        ("10.8 L by 30 November", f"10.8{NB}L by 30{NB}November"),
        ("20 % at 0.25 mg/L, GH 6 °dH", f"20{NB}% at 0.25{NB}mg/L, GH 6{NB}°dH"),
        ("11–17 December", f"11–{WJ}17{NB}December"),
        ("7 alive, 19 days old; 2 females", f"7{NB}alive, 19{NB}days old; 2{NB}females"),
        ("12 US gal, 3 Jun", f"12{NB}US gal, 3{NB}Jun"),
        ("28 May – 3 June", f"28{NB}May{NB}– 3{NB}June"),
    ],
)
def test_a_number_stays_beside_its_unit_and_a_day_beside_its_month(said: str, kept: str) -> None:
    assert whole(said) == kept


@pytest.mark.parametrize("said", ["8 in 10 cases", "3 Mayflies", "5 Lines", Markup("<b>3 L</b>"), 3, None])
def test_other_words_and_what_is_markup_already_are_left_alone(said: object) -> None:
    assert whole(said) == said
