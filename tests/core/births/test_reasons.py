"""The reasons a forecast carries: evidence, weights, prior, wishes."""

import pytest

from app.core.births import CARRYING, METHOD, Arrived, Exposed, LastDrop, forecast_birth
from app.core.births.learning import NOISE, STEP
from tests.core.births.build import MAY, day, dropped, intervals


def test_weights_of_the_evidence_add_up() -> None:
    told = dropped(
        history=intervals(26, 27), kin_history=(intervals(28),), fishroom_history=((intervals(25),),)
    )
    used = forecast_birth(told).why.used
    weights = [u.weight for u in used if u.weight is not None]
    assert len(weights) == 4
    assert sum(weights) == pytest.approx(1)
    assert [one.value for one in used[:3]] == ["2; latest 26, 27 days", "1 dam", "1 line"]


def test_thin_priors_show() -> None:
    f = forecast_birth(dropped(key="shortfin_molly"))
    assert f.confidence == "low"
    assert f.why.confidence == "low"
    assert "grade D" in f.why.source
    assert "thin published data" in " ".join(f.notes)


@pytest.mark.parametrize(("known", "confidence"), [(0, "low"), (2, "low"), (3, "medium"), (6, "high")])
def test_her_own_record_lifts_confidence(known: int, confidence: str) -> None:
    told = dropped(key="shortfin_molly", history=intervals(*[33] * known))
    assert forecast_birth(told).confidence == confidence


def test_wishes_name_what_is_missing() -> None:
    wishes = " ".join(forecast_birth(dropped(today=2, at=None, start=LastDrop(MAY, day(2)))).why.narrower)
    for word in ("temperature", "this dam's drops", "sisters", "daily"):
        assert word in wishes


def test_a_well_known_dam_leaves_nothing_to_wish() -> None:
    told = dropped(history=intervals(26, 27, 26), kin_history=(intervals(26),))
    assert forecast_birth(told).why.narrower == ()


def test_sellers_should_be_asked() -> None:
    assert "ask whether she has been with males" in forecast_birth(dropped(start=Arrived(MAY))).why.narrower


def test_the_prior_is_the_one_in_use() -> None:
    assert forecast_birth(dropped()).why.prior == "26 days between drops at 25 °C"
    virgin = forecast_birth(dropped(start=Exposed(MAY), virgin=True))
    assert virgin.why.prior == "first drop 38 ± 8 days after first exposure at 25 °C"


def test_a_span_is_told_as_a_span() -> None:
    used = forecast_birth(dropped(today=2, start=LastDrop(MAY, day(2)))).why.used
    assert any(u.value == "1–3 May" for u in used)


def test_the_method_states_the_numbers_in_use() -> None:
    formulas = " ".join(METHOD.formulas)
    assert f"({NOISE:.2f} within)²" in formulas
    assert f"({STEP:.2f} within)²" in formulas
    assert METHOD.key == forecast_birth(dropped()).method
    assert CARRYING.sources
