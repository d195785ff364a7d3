"""The keeper's waters and substances: added, put right, put away and brought back."""

import pytest

from app.core.problems import Problem
from app.services import substances, undo, waters
from app.services.doses import log_dose
from app.services.refusals import Refused
from app.services.substances import NewSubstance
from app.services.waters import NewWater
from app.store.actor import Actor, Forbidden
from app.store.session import RoomSession
from app.store.waters import Measure, SubstanceKind
from tests.conftest import People
from tests.factories import Made

SALT = SubstanceKind.SALT
MINERAL = SubstanceKind.MINERAL


def test_a_water_is_added_put_right_put_away_and_brought_back(session: RoomSession, keeper: Actor) -> None:
    tap = waters.add_water(session, keeper, NewWater(" Tap ", 0.1, 12.0, note=" from the kitchen "))
    assert (tap.name, tap.gh_dh, tap.kh_dh, tap.note) == ("Tap", 12.0, None, "from the kitchen")
    waters.change_water(session, keeper, tap.id, NewWater("Tap", 0.1, 14.0))
    assert tap.gh_dh == 14.0
    waters.retire_water(session, keeper, tap.id)
    assert tap.retired_on == keeper.today
    with pytest.raises(Refused, match="Tap was put away"):
        waters.retire_water(session, keeper, tap.id)
    waters.bring_back_water(session, keeper, tap.id)
    assert tap.retired_on is None
    with pytest.raises(Refused, match="in use"):
        waters.bring_back_water(session, keeper, tap.id)
    undo.undo(session, keeper, session.info["act"].id)
    assert tap.retired_on == keeper.today


@pytest.mark.parametrize(
    ("told", "field"),
    [
        (NewWater(" "), "name"),
        (NewWater("x" * 61), "name"),
        (NewWater("river", salinity_g_per_l=80), "salinity_g_per_l"),
        (NewWater("river", gh_dh=-1), "gh_dh"),
        (NewWater("river", kh_dh=200), "kh_dh"),
        (NewWater("river", ph=15), "ph"),
        (NewWater("river", nitrate_mg_per_l=-5), "nitrate_mg_per_l"),
        (NewWater("river", temperature_c=78), "temperature_c"),
        (NewWater("river", gh_dh=float("nan")), "gh_dh"),
    ],
)
def test_impossible_waters_are_refused_on_their_field(
    session: RoomSession, keeper: Actor, told: NewWater, field: str
) -> None:
    with pytest.raises(Refused) as refused:
        waters.add_water(session, keeper, told)
    assert refused.value.field == field


def test_a_name_stands_once(session: RoomSession, keeper: Actor, made: Made) -> None:
    tap = made.water("Tap")
    with pytest.raises(Refused, match="There is a water tap already"):
        waters.add_water(session, keeper, NewWater("tap"))
    waters.change_water(session, keeper, tap.id, NewWater("tap", 0.2))
    salt = made.substance("Salt")
    with pytest.raises(Refused, match="There is a substance SALT already"):
        substances.add_substance(session, keeper, NewSubstance("SALT", SALT))
    assert substances.change_substance(session, keeper, salt.id, NewSubstance("SALT", SALT)).name == "SALT"


@pytest.mark.parametrize(
    ("told", "field"),
    [
        (NewSubstance("", SALT), "name"),
        (NewSubstance("brine", SALT, Measure.MILLILITRE), "measure"),
        (NewSubstance("soda", MINERAL, Measure.MILLILITRE, formula="NaHCO3"), "measure"),
        (NewSubstance("stuff", MINERAL, formula="Xx2"), "formula"),
        (NewSubstance("stuff", MINERAL, formula="C6H12O6"), "formula"),
        (NewSubstance("stuff", MINERAL, formula="H" * 41), "formula"),
        (NewSubstance("mix", MINERAL, gh_dh_per_unit_l=-1), "gh_dh_per_unit_l"),
        (NewSubstance("drops", SubstanceKind.MEDICINE, half_life_days=0), "half_life_days"),
        (NewSubstance("drops", SubstanceKind.MEDICINE, label_dose_per_l=-2), "label_dose_per_l"),
    ],
)
def test_impossible_substances_are_refused_on_their_field(
    session: RoomSession, keeper: Actor, told: NewSubstance, field: str
) -> None:
    with pytest.raises(Problem) as refused:
        substances.add_substance(session, keeper, told)
    assert refused.value.field == field


def test_what_was_dosed_keeps_its_measure(session: RoomSession, keeper: Actor, made: Made) -> None:
    drops = made.substance("drops", kind=SubstanceKind.MEDICINE)
    told = NewSubstance("drops", SubstanceKind.MEDICINE, Measure.PIECE)
    substances.change_substance(session, keeper, drops.id, told)
    log_dose(session, keeper, made.tank().id, drops.id, amount=1.0)
    with pytest.raises(Refused, match="Doses of drops are logged in piece"):
        substances.change_substance(session, keeper, drops.id, NewSubstance("drops", SubstanceKind.MEDICINE))
    substances.retire_substance(session, keeper, drops.id)
    assert substances.bring_back_substance(session, keeper, drops.id).retired_on is None


def test_only_keepers_set_up_waters_and_substances(session: RoomSession, people: People, made: Made) -> None:
    water, salt = made.water(), made.substance()
    for act in (
        lambda: waters.add_water(session, people.helper, NewWater("pond")),
        lambda: waters.change_water(session, people.helper, water.id, NewWater("pond")),
        lambda: waters.retire_water(session, people.helper, water.id),
        lambda: waters.bring_back_water(session, people.helper, water.id),
        lambda: substances.add_substance(session, people.helper, NewSubstance("pond", SALT)),
        lambda: substances.change_substance(session, people.helper, salt.id, NewSubstance("pond", SALT)),
        lambda: substances.retire_substance(session, people.helper, salt.id),
        lambda: substances.bring_back_substance(session, people.helper, salt.id),
    ):
        with pytest.raises(Forbidden):
            act()
