"""Many lengths typed or pasted at once."""

import pytest

from app.core.problems import Problem
from app.core.quantities.lists import parse_lengths
from app.core.quantities.units import Units


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("12.5 13 12,8", (12.5, 13.0, 12.8)),
        ("12.5,13,12.8", (12.5, 13.0, 12.8)),
        ("12, 13, 14", (12.0, 13.0, 14.0)),
        ("12,13,14", (12.0, 13.0, 14.0)),
        ("12,5; 13,2; 11,9", (12.5, 13.2, 11.9)),
        ("12.5\r\n13\r\n12,8\r\n", (12.5, 13.0, 12.8)),
        ("11\t12\t13", (11.0, 12.0, 13.0)),
        ("12.5 mm 13mm, 1.4 cm", (12.5, 13.0, 14.0)),
    ],
)
def test_lengths_part_as_people_type_them(text: str, mm: tuple[float, ...]) -> None:
    assert parse_lengths(text) == pytest.approx(mm)


def test_a_spreadsheets_head_gives_its_unit_to_the_column() -> None:
    assert parse_lengths("Length (cm)\n1.2\n1,35") == pytest.approx((12.0, 13.5))
    assert parse_lengths("total length in mm\n12") == pytest.approx((12.0,))
    assert parse_lengths("Fish\n12") == pytest.approx((12.0,))


def test_a_us_keepers_bare_numbers_and_fractions_are_inches() -> None:
    assert parse_lengths("1/2 3/4", Units.US) == pytest.approx((12.7, 19.05))
    assert parse_lengths("1 1/2", Units.US) == pytest.approx((38.1,))
    assert parse_lengths('½ 3/4" 20 mm', Units.US) == pytest.approx((12.7, 19.05, 20.0))


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("12 x 13", "value 2 of 3: 'x'"),
        ("12 1.2.3 4", "value 2 of 3: '1.2.3'"),
        ("12 13kg", "value 2 of 2: 'kg'"),
        ("12 13 0", "value 3 of 3: '0'"),
        ("", "no lengths"),
        ("9 " * 501, "501 lengths"),
    ],
)
def test_the_value_that_is_no_length_is_named(text: str, said: str) -> None:
    with pytest.raises(Problem, match=said) as caught:
        parse_lengths(text)
    assert caught.value.field == "lengths"
