"""The page on which reminders are chosen, and silencing one from the rounds."""

from app.store.reminders import LeadTime, Muted
from app.store.session import rows
from tests.factories import Made
from tests.support.client import Visitor
from tests.web.test_rounds import waiting_dam


def test_every_rule_stands_there_in_plain_words(visit: Visitor) -> None:
    page = visit.open("/settings/reminders")
    for words in ("Get a fry place and cover ready", "days before the window opens", "Count a batch"):
        assert words in page.words
    assert page.value("fry_place") == "7"
    assert "reminders" in visit.open("/settings").text


def test_a_lead_time_is_chosen_and_the_usual_one_remembered(visit: Visitor) -> None:
    page = visit.send("/settings/reminders", fry_place="10", split_by="5")
    assert page.value("fry_place") == "10"
    assert "Usually 7" in page.words
    assert "Take back" in page.words or "Undo" in page.words


def test_a_lead_time_that_makes_no_sense_is_said_on_its_field(visit: Visitor) -> None:
    page = visit.send("/settings/reminders", fry_place="99")
    assert page.status == 422
    assert page.value("fry_place") == "99"
    assert "0 to 60" in page.words


def test_a_line_of_its_own(visit: Visitor, made: Made) -> None:
    line = made.line()
    made.session.commit()
    page = visit.post(
        "/settings/reminders/lines", "/settings/reminders", rule="fry_place", line_id=line.id, days="12"
    )
    title = "Get a fry place and cover ready, and move her early"
    assert f"{line.name} {title} 12 days before the window opens." in page.words
    lead = rows(made.session, LeadTime)[0]
    visit.post(f"/settings/reminders/lines/{lead.id}/remove", "/settings/reminders")
    assert rows(made.session, LeadTime) == []


def test_a_line_without_a_number_is_asked_again(visit: Visitor, made: Made) -> None:
    line = made.line()
    made.session.commit()
    page = visit.post("/settings/reminders/lines", "/settings/reminders", rule="fry_place", line_id=line.id)
    assert page.status == 422
    assert "How many days ahead?" in page.words


def test_a_reminder_is_silenced_everywhere_and_speaks_again(visit: Visitor, made: Made) -> None:
    visit.post("/settings/reminders/silenced", "/settings/reminders", silenced="brine_shrimp")
    assert "Everywhere Start brine shrimp" in visit.open("/settings/reminders").words
    (muted,) = rows(made.session, Muted)
    visit.post(f"/settings/reminders/silenced/{muted.id}/remove", "/settings/reminders")
    assert rows(made.session, Muted) == []


def test_a_short_message_on_mornings_with_nothing_new(visit: Visitor) -> None:
    assert visit.open("/settings/reminders").value("empty_days") == "0"
    page = visit.post("/settings/empty-mornings", "/settings/reminders", empty_days="14")
    assert page.value("empty_days") == "14"
    page = visit.post("/settings/empty-mornings", "/settings/reminders", empty_days="soon")
    assert (page.status, page.value("empty_days")) == (422, "soon")
    page = visit.post("/settings/empty-mornings", "/settings/reminders", empty_days="0")
    assert page.value("empty_days") == "0"


def test_quiet_hours(visit: Visitor) -> None:
    page = visit.post("/settings/quiet-hours", "/settings/reminders", quiet_from="22:00", quiet_to="07:00")
    assert (page.value("quiet_from"), page.value("quiet_to")) == ("22:00", "07:00")
    page = visit.post("/settings/quiet-hours", "/settings/reminders", quiet_from="22:00", quiet_to="")
    assert page.status == 422
    assert "both ends" in page.words


def test_never_for_this_one_is_answered_on_the_rounds_and_taken_back(visit: Visitor, made: Made) -> None:
    dam = waiting_dam(made)
    said = f"Look at {dam.code}"
    assert said in visit.open("/").words
    after = visit.post(
        "/reminders", "/", key="watch", rule="watch_daily", subject=f"fish:{dam.id}", kind="never"
    )
    assert said not in after.words
    assert dam.code in visit.open("/settings/reminders").words
    muted = rows(made.session, Muted)[0]
    visit.post(f"/settings/reminders/silenced/{muted.id}/remove", "/settings/reminders")
    assert said in visit.open("/").words


def test_a_helper_sees_what_is_chosen_without_fields(helping: Visitor) -> None:
    page = helping.open("/settings/reminders")
    assert "7 days before the window opens" in page.words
    assert page.value("fry_place") is None
