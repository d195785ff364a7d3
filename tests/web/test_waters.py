"""The pages of the keeper's waters and substances."""

import pytest

from app.store.session import rows
from app.store.waters import Hazard, Measure, SourceWater, Substance, SubstanceKind
from tests.factories import Made
from tests.support.client import Visitor


def test_empty_lists_teach(visit: Visitor) -> None:
    words = visit.open("/waters").words
    assert "No waters yet" in words
    assert "never taken for nothing" in words
    assert "No substances yet" in words


def test_a_water_is_added_and_changed(visit: Visitor, made: Made) -> None:
    assert visit.open("/waters/new").value("salinity_g_per_l") == "0 g/L"
    page = visit.send("/waters/new", name="Tap", salinity_g_per_l="0", gh_dh="214 ppm", nitrate_mg_per_l="")
    assert "No salt and GH 12 °dH" in page.words
    assert "Not measured: KH and nitrate" in page.words
    tap = rows(made.session, SourceWater)[0]
    assert tap.gh_dh == pytest.approx(11.99, abs=0.01)
    kept = tap.gh_dh
    form = visit.open(f"/waters/{tap.id}/edit")
    visit.send(
        f"/waters/{tap.id}/edit",
        name="Tap",
        salinity_g_per_l=form.value("salinity_g_per_l"),
        gh_dh=form.value("gh_dh"),
        kh_dh="6",
    )
    made.session.refresh(tap)
    assert (tap.gh_dh, tap.kh_dh) == (kept, 6.0)


def test_a_water_is_put_away_and_used_again(visit: Visitor, made: Made) -> None:
    tap = made.water("Tap")
    made.session.commit()
    page = visit.post(f"/waters/{tap.id}/retire", "/waters")
    assert "Put away" in page.words
    assert "No waters yet" in page.words
    page = visit.post(f"/waters/{tap.id}/bring-back", "/waters")
    assert "No waters yet" not in page.words
    assert "Tap is in use" in visit.post(f"/waters/{tap.id}/bring-back", "/waters").words


def test_what_is_refused_stays_as_typed(visit: Visitor, made: Made) -> None:
    made.water("Tap")
    made.session.commit()
    page = visit.send("/waters/new", name="tap", gh_dh="12")
    assert page.status == 422
    assert "There is a water tap already" in page.words
    assert page.value("gh_dh") == "12"


def test_a_mineral_mix_by_its_label_keeps_its_figures_through_an_edit(visit: Visitor, made: Made) -> None:
    page = visit.send(
        "/substances/new",
        name="Mix",
        kind="mineral salt",
        measure="g",
        hazard="none",
        label_amount="7 g",
        label_litres="45 L",
        label_gh="3",
        label_kh="1",
        half_life="",
    )
    assert "10 g in 100 L raise GH by 1.9 °dH and KH by 0.6 °dH" in page.words
    mix = rows(made.session, Substance)[0]
    assert mix.gh_dh_per_unit_l == pytest.approx(3 * 45 / 7)
    form = visit.open(f"/substances/{mix.id}/edit")
    names = ("label_amount", "label_litres", "label_gh", "label_kh")
    shown = {name: form.value(name) or "" for name in names}
    visit.send(
        f"/substances/{mix.id}/edit", name="Mixture", kind="mineral salt", measure="g", hazard="none", **shown
    )
    made.session.refresh(mix)
    assert mix.name == "Mixture"
    assert mix.gh_dh_per_unit_l == pytest.approx(3 * 45 / 7, rel=1e-9)


def test_a_medicine_by_its_label_dose(visit: Visitor, made: Made) -> None:
    page = visit.send(
        "/substances/new",
        name="Blue drops",
        kind="medicine",
        measure="mL",
        hazard="dye",
        label_dose="1 mL per 40 L",
        half_life="72 h",
    )
    assert "Label’s dose 2.5 mL per 100 L, half gone in 3 days" in page.words
    drops = rows(made.session, Substance)[0]
    assert (drops.kind, drops.measure, drops.hazard) == (
        SubstanceKind.MEDICINE,
        Measure.MILLILITRE,
        Hazard.DYE,
    )
    assert drops.label_dose_per_l == pytest.approx(0.025)
    assert visit.open(f"/substances/{drops.id}/edit").value("label_dose") == "2.5 mL per 100 L"


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({"formula": "sugar"}, "is not a formula"),
        ({"label_gh": "3"}, "How much of it does that?"),
        ({"label_gh": "3", "label_amount": "10 g"}, "In how much water?"),
        ({"label_dose": "3"}, "in how much water?"),
        ({"measure": "mL", "kind": "salt"}, "Salt is weighed"),
    ],
)
def test_a_refused_substance_says_why(visit: Visitor, fields: dict[str, str], said: str) -> None:
    told = {"name": "Stuff", "kind": "mineral salt", "measure": "g", "hazard": "none", **fields}
    page = visit.send("/substances/new", **told)
    assert page.status == 422
    assert said in page.words


def test_substances_are_put_away_and_used_again(visit: Visitor, made: Made) -> None:
    salt = made.substance()
    made.session.commit()
    assert "No substances yet" in visit.post(f"/substances/{salt.id}/retire", "/waters").words
    assert "No substances yet" not in visit.post(f"/substances/{salt.id}/bring-back", "/waters").words
    assert "in use" in visit.post(f"/substances/{salt.id}/bring-back", "/waters").words


def test_only_the_keeper_sets_them_up(helping: Visitor, made: Made) -> None:
    water, salt = made.water("Tap"), made.substance()
    made.session.commit()
    words = helping.open("/waters").words
    assert "Tap" in words
    assert "Add a water" not in words
    for path in ("/waters/new", "/substances/new", f"/waters/{water.id}/edit", f"/substances/{salt.id}/edit"):
        helping.open(path, expect=403)
