"""``reckon hardness`` adds salts to a blend."""

import pytest

from tests.cli.reckon.ask import ask, refusal


def test_salts_rise_by_their_formula_however_it_is_written() -> None:
    item = {
        "litres": 100,
        "salts": [{"formula": "CaCl2·2H2O", "grams": 5}, {"formula": "NaHCO3", "grams": 3}],
    }
    answer = ask("hardness", item)
    assert answer["kh_dh"] == pytest.approx(3 * 0.3338, abs=0.002)  # 3.KH.1 of the published cases
    assert answer["gh_dh"] == pytest.approx(5 * 0.5053 * 110.978 / 147.008, abs=0.005)  # 3.GH.2 and 3.MM.1
    dotted = {"litres": 100, "salts": [{"formula": "CaCl2.2H2O", "grams": 5}]}
    assert ask("hardness", dotted)["gh_dh"] == answer["per_salt"][0]["gh_dh"] == answer["gh_dh"]


def test_a_blend_comes_before_the_salts() -> None:
    waters = [{"litres": 75, "gh_dh": 12, "kh_dh": 8}, {"litres": 25, "gh_dh": 0, "kh_dh": 0}]
    answer = ask("hardness", {"litres": 100, "salts": [], "blend": waters})
    assert answer == {"gh_dh": 9.0, "kh_dh": 6.0, "per_salt": []}  # 3.MIX.4


def test_a_blend_that_does_not_fill_the_tank_is_refused() -> None:
    item = {"litres": 100, "salts": [], "blend": [{"litres": 75, "gh_dh": 12, "kh_dh": 8}]}
    assert "blend: the waters add up to 75 L, litres says 100" in refusal("hardness", item)


def test_an_unknown_formula_is_refused_by_place() -> None:
    item = {"litres": 100, "salts": [{"formula": "Ca(OH)2", "grams": 1}]}
    assert refusal("hardness", item).startswith("salts[0].formula: 'Ca(OH)2' is no mineral salt")
