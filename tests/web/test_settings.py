"""The settings pages."""

from app.core.quantities import Units
from app.services import accounts
from app.store.fishrooms import Fishroom
from app.store.users import Role, User
from tests.conftest import PASSWORD, People
from tests.factories import Made
from tests.support.client import Visitor


def test_the_page_says_how_things_are_measured_and_who_belongs_here(visit: Visitor) -> None:
    page = visit.open("/settings")
    assert "Europe/Berlin" in page.words
    assert "keeper@fish.example (you)" in page.words
    assert "helper@fish.example" in page.words
    assert "Almanac in your calendar" in page.words


def test_a_keeper_goes_over_to_gallons(visit: Visitor, made: Made) -> None:
    tank = made.tank(litres=37.854)
    made.session.commit()
    form = visit.open("/settings/fishroom")
    assert form.value("name") == "Cellar"
    page = visit.send(
        "/settings/fishroom", name="Den", units="us", time_zone="America/Chicago", set_point_c="76 F"
    )
    assert "Den" in page.words
    assert "76 °F" in page.words
    assert "10 US gal" in visit.open(f"/tanks/{tank.id}").words


def test_a_zone_that_does_not_exist_is_refused_and_the_rest_kept(visit: Visitor, made: Made) -> None:
    page = visit.send(
        "/settings/fishroom", name="Den", units="us", time_zone="Europe/Atlantis", set_point_c="25 C"
    )
    assert page.status == 422
    assert "Choose one of the list" in page.words
    assert page.value("name") == "Den"
    assert made.session.get_one(Fishroom, made.actor.fishroom_id).units is Units.METRIC


def test_somebody_is_let_in_and_let_go(visit: Visitor) -> None:
    page = visit.send("/settings/members", email="stranger@fish.example", role="reader")
    assert "stranger@fish.example is a reader here" in page.words
    page = visit.post("/settings/members/remove", "/settings", email="stranger@fish.example")
    assert "no longer belongs here" in page.words


def test_somebody_without_an_account_is_asked_for_one(visit: Visitor) -> None:
    page = visit.send("/settings/members", email="nobody@fish.example", role="reader")
    assert page.status == 422
    assert "has no account here yet" in page.words
    assert page.value("email") == "nobody@fish.example"


def test_the_last_keeper_stays(visit: Visitor) -> None:
    page = visit.post("/settings/members/remove", "/settings", email="keeper@fish.example")
    assert "only keeper" in page.words
    page = visit.send("/settings/members", email="keeper@fish.example", role="reader")
    assert "only keeper" in page.words


def test_somebody_of_another_fishroom_cannot_be_let_go(visit: Visitor) -> None:
    assert visit.post("/settings/members/remove", email="stranger@fish.example").status == 404


def test_a_helper_sees_the_settings_and_changes_none(helping: Visitor) -> None:
    assert "Change the role" not in helping.open("/settings").words
    helping.open("/settings/fishroom", expect=403)
    helping.open("/settings/members", expect=403)
    assert helping.post("/settings/members", email="stranger@fish.example", role="keeper").status == 403


def test_a_reader_changes_the_own_password(reading: Visitor, made: Made) -> None:
    new = "a much longer password"
    page = reading.send("/settings/password", old=PASSWORD, new=new, again=new)
    assert "Your password is changed." in page.words
    assert accounts.sign_in(made.session, "reader@fish.example", new) is not None


def test_a_password_typed_two_ways_or_over_a_wrong_one_is_refused(visit: Visitor) -> None:
    new = "a much longer password"
    assert "differ" in visit.send("/settings/password", old=PASSWORD, new=new, again=new + "!").words
    page = visit.send("/settings/password", old="not the old one", new=new, again=new)
    assert page.status == 422
    assert "That is not your password." in page.words


def test_a_member_of_two_fishrooms_goes_over(visit: Visitor, people: People, made: Made) -> None:
    there = made.session.get_one(Fishroom, people.stranger.fishroom_id)
    me = made.session.get_one(User, people.keeper.user_id)
    accounts.add_member(made.session, there, me, Role.READER)
    made.session.commit()
    assert "Attic" in visit.open("/settings").words
    visit.post(f"/fishroom/{there.id}", "/settings")
    assert "Attic: what is measured how" in visit.open("/settings").words
