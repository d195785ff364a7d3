"""The water bench's pages."""

from collections.abc import Mapping
from urllib.parse import parse_qsl, urlencode

import pytest

from app.core.methods import METHODS
from app.queries.bench.catalogue import CALCULATORS, Calculator
from app.queries.facts import morning
from app.store.journal import Act
from app.store.session import rows
from app.web.forms.bench import FORMS
from tests.factories import Made
from tests.support.client import Page, Visitor
from tests.web.test_rounds import waiting_dam


def ask(visitor: Visitor, key: str, expect: int = 200, /, **figures: str) -> Page:
    return visitor.open(f"/water-bench/{key}?{urlencode(figures)}", expect)


def errors(page: Page) -> Mapping[str, str]:
    """Return what is said on each refused field."""
    said = [e for e in page.all("p") if (e.get("id") or "").endswith("-error")]
    return {str(e.get("id")).removesuffix("-error"): " ".join("".join(e.itertext()).split()) for e in said}


def test_the_bench_lists_every_calculator(visit: Visitor) -> None:
    page = visit.open("/water-bench")
    links = {link.get("href") for link in page.all("a")}
    assert {f"/water-bench/{key}" for key in FORMS} <= links
    assert FORMS.keys() == CALCULATORS.keys()


def test_the_menu_leads_to_the_bench(visit: Visitor) -> None:
    assert "/water-bench" in {link.get("href") for link in visit.open("/history").all("a")}


def test_an_unknown_calculator_is_not_found(visit: Visitor) -> None:
    visit.open("/water-bench/alchemy", expect=404)


@pytest.mark.parametrize("about", CALCULATORS.values(), ids=lambda about: about.key)
def test_a_calculator_opens_and_answers_its_example(visit: Visitor, about: Calculator) -> None:
    asked = visit.open(f"/water-bench/{about.key}")
    assert "The working" not in asked.words
    assert about.example_words in asked.words
    page = visit.open(f"/water-bench/{about.key}?{about.example}")
    assert "The answer" in page.words
    assert " = " in " ".join("".join(code.itertext()) for code in page.all("code"))


@pytest.mark.parametrize("about", CALCULATORS.values(), ids=lambda about: about.key)
def test_a_calculator_links_to_its_methods(visit: Visitor, about: Calculator) -> None:
    links = {link.get("href") for link in visit.open(f"/water-bench/{about.key}").all("a")}
    assert {f"/methods/{key}" for key in about.methods} <= links
    assert set(about.methods) <= METHODS.keys()


def names(page: Page) -> list[str]:
    """Return the fields of a calculator's form, lists to choose from left out."""
    form = next(form for form in page.all("form") if form.get("method") == "get")
    return [str(field.get("name")) for field in form.iter() if field.tag.endswith("input")]


@pytest.mark.parametrize("key", FORMS)
def test_nonsense_is_refused_in_words_and_kept(visit: Visitor, key: str) -> None:
    page = ask(visit, key, 422, **dict.fromkeys(names(visit.open(f"/water-bench/{key}")), "a lot"))
    assert "This cannot be reckoned yet" in page.words
    assert {page.value(name) for name in errors(page)} == {"a lot"}


@pytest.mark.parametrize("key", FORMS)
def test_no_figure_breaks_a_calculator(visit: Visitor, key: str) -> None:
    example = dict(parse_qsl(CALCULATORS[key].example))
    for name in names(visit.open(f"/water-bench/{key}")):
        figures = (
            ("9999-12-31", "0001-01-01") if name in {"start", "day"} else ("0", "999999999", "0.0000001")
        )
        for figure in figures:
            asked = urlencode({**example, name: figure})
            answer = visit.client.get(f"/water-bench/{key}?{asked}")
            assert answer.status_code in {200, 422}, asked


def test_the_bench_needs_no_token_and_changes_nothing(visit: Visitor, made: Made) -> None:
    before = len(rows(made.session, Act))
    page = ask(visit, "salt", water="10 gal", target="2.4 g/L")
    form = next(form for form in page.all("form") if form.get("method") == "get")
    assert not [field for field in form.iter() if field.get("name") == "csrf_token"]
    assert len(rows(made.session, Act)) == before


def test_a_reader_may_reckon(reading: Visitor) -> None:
    assert "Add 90.8 g of salt" in ask(reading, "salt", water="10 gal", target="2.4 g/L").words


def test_what_the_address_leaves_out_is_as_usual(visit: Visitor) -> None:
    page = ask(visit, "gravity", salinity="5 g/L")
    assert page.value("temperature") == "25 °C"
    assert page.value("reference") == "25 °C"
    assert "It floats at SG" in page.words


def test_an_address_with_nothing_of_the_form_asks_nothing(visit: Visitor) -> None:
    page = visit.open("/water-bench/salt?from=a+letter")
    assert not errors(page)
    assert "The answer" not in page.words


def test_a_us_keeper_types_bare_gallons_and_fahrenheit(outsider: Visitor) -> None:
    page = ask(outsider, "salt", water="10", target="2.4")
    assert "Add 90.8 g of salt to 10 US gal" in page.words
    assert "V = 10 US gal × 3.78541 = 37.85 L" in page.words
    page = ask(outsider, "ammonia", shown="1", ph="8", temperature="75.2")
    assert "0.05 mg/L of un-ionised ammonia" in page.words


def test_salt_is_added_in_daily_steps(visit: Visitor) -> None:
    page = ask(visit, "salt", water="40 L", target="2.4", most_per_day="1")
    assert "In 3 daily doses" in page.words
    assert "Day 3" in page.words


def test_salt_that_is_already_there_is_refused_on_the_target(visit: Visitor) -> None:
    page = ask(visit, "salt", 422, water="40 L", target="1", now="3")
    assert "leaves only with a water change" in errors(page)["target"]
    assert page.value("now") == "3"


def test_a_strong_dose_is_warned_about(visit: Visitor) -> None:
    assert "Strong salt." in ask(visit, "salt", water="5 L", target="30").words
    assert "Strong salt." not in ask(visit, "salt", water="5 L", target="2.4").words
    assert "Salt harms plants, snails and shrimp" in visit.open("/water-bench/salt").words


def test_a_top_up_takes_a_share_or_a_volume_but_no_bare_number(visit: Visitor) -> None:
    for change in ("30 %", "12 L"):
        page = ask(visit, "salt-top-up", water="40 L", before="2.4", change=change)
        assert "Add 28.8 g of salt" in page.words
    page = ask(visit, "salt-top-up", 422, water="40 L", before="2.4", change="30")
    assert "30 of what?" in errors(page)["change"]
    page = ask(visit, "salt-top-up", 422, water="40 L", before="2.4", change="50 L")
    assert "not part of a 40 L tank" in errors(page)["change"]


def test_spoons_are_read(visit: Visitor) -> None:
    page = ask(visit, "salt-strength", water="10 gal", amount="5 tbsp")
    assert "The water then holds 2.4 g/L" in page.words
    page = ask(visit, "salt-strength", 422, water="1 L", amount="1 kg")
    assert "would not dissolve" in errors(page)["amount"]


def test_gravity_or_salinity_is_asked_not_both(visit: Visitor) -> None:
    page = ask(visit, "gravity", 422, shown="SG 1.003", salinity="4")
    assert "not both" in errors(page)["shown"]
    page = ask(visit, "gravity", 422, shown="1003")
    assert "Write SG 1.003" in errors(page)["shown"]
    page = ask(visit, "gravity", 422, shown="1.035", temperature="25 C", reference="4 C")
    assert "cannot be at 25 °C" in errors(page)["shown"]


def test_seven_half_changes_leave_less_than_one_per_cent(visit: Visitor) -> None:
    assert "7 changes of 50 % leave 0.78 %" in ask(visit, "changes", change="50 %", times="7").words
    assert "7 changes of 50 % are needed" in ask(visit, "changes", change="50 %", target="1").words
    salted = ask(visit, "changes", change="50 %", target="1 %", start="1.5")
    assert "7 changes of 50 % are needed" in salted.words  # 1.5·0.5⁷ = 0.0117, below 1 % of 1.5
    page = ask(visit, "changes", 422, change="50 %")
    assert "not both" in errors(page)["times"]


def test_a_change_by_volume_needs_the_tank(visit: Visitor) -> None:
    page = ask(visit, "changes", 422, change="5 gal", times="3")
    assert "needs the tank's water" in errors(page)["change"]
    page = ask(visit, "changes", change="5 gal", times="3", water="10 gal")
    assert "3 changes of 50 % leave 12.5 %" in page.words


def test_a_level_beyond_the_new_water_is_refused(visit: Visitor) -> None:
    page = ask(visit, "changes", 422, change="50 %", target="1", start="10", source="2")
    assert "cannot be reached" in errors(page)["target"]


def test_a_blend_outside_both_waters_is_refused_on_the_wish(visit: Visitor) -> None:
    waters = {"water": "40 L", "first_gh": "16", "second_gh": "2"}
    page = ask(visit, "blend", 422, **waters, gh="20")
    assert "give 2 to 16 °dH" in errors(page)["gh"]
    page = ask(visit, "blend", 422, **waters, kh="4")
    assert "KH of both waters must be known" in errors(page)["first_kh"]
    page = ask(visit, "blend", 422, **waters, gh="8", kh="4")
    assert "one wish" in errors(page)["gh"]


def test_hardness_is_read_in_ppm(visit: Visitor) -> None:
    page = ask(visit, "blend", water="40 L", first_gh="178.48 ppm", second_gh="0", gh="5")
    assert "Mix 20 L of the first water with 20 L of the second" in page.words


def test_salts_do_not_soften(visit: Visitor) -> None:
    page = ask(visit, "minerals", 422, water="20 L", now_gh="12", wish_gh="6")
    assert "softer water" in errors(page)["wish_gh"]
    page = ask(visit, "minerals", 422, water="20 L")
    assert "Give GH, KH or both" in errors(page)["wish_gh"]


def test_a_strange_salt_in_the_address_is_refused(visit: Visitor) -> None:
    page = ask(visit, "minerals", 422, water="20 L", wish_gh="6", calcium="NaCN")
    assert errors(page)["calcium"]


def test_a_label_that_raises_nothing_is_refused(visit: Visitor) -> None:
    page = ask(
        visit, "label", 422, water="20 L", rise="6", label_mass="10 g", label_water="40 L", label_gh="0"
    )
    assert "does not raise GH" in errors(page)["label_gh"]


def test_ammonia_that_harms_says_what_to_do_now(visit: Visitor) -> None:
    page = ask(visit, "ammonia", shown="2", ph="8.2", temperature="26 C")
    assert "Harmful" in page.words
    assert "Act now." in page.words
    page = ask(visit, "ammonia", shown="0.25", ph="6.8", temperature="24 C")
    assert "Act now." not in page.words
    page = ask(visit, "ammonia", 422, shown="1", ph="14", temperature="24 C")
    assert "give 4 to 11" in errors(page)["ph"]


def test_a_temperature_on_the_other_scale_is_asked_about(visit: Visitor) -> None:
    page = ask(visit, "oxygen", 422, temperature="76")
    assert "type 76 F" in errors(page)["temperature"]


def test_little_oxygen_is_warned_about(visit: Visitor) -> None:
    page = ask(visit, "oxygen", temperature="28 C", measured="3.9")
    assert "Your 3.9 mg/L is 50 % of that" in page.words
    assert "Gasping fish." in page.words


def test_nitrate_without_feed_or_earlier_reading_is_asked_for(visit: Visitor) -> None:
    page = ask(visit, "nitrate", 422, water="75 L", now="25")
    assert "say how much is fed" in errors(page)["feed"]
    page = ask(visit, "nitrate", 422, water="75 L", now="25", earlier="15")
    assert "how many days ago" in errors(page)["days_ago"]


def test_feed_alone_is_called_a_guess(visit: Visitor) -> None:
    page = ask(visit, "nitrate", water="75 L", now="5", feed="0.4 g", protein="45")
    assert "A guess." in page.words
    assert "Without changes it is reached" in page.words


def test_acclimation_with_nothing_in_common_is_refused(visit: Visitor) -> None:
    page = ask(visit, "acclimation", 422, from_salinity="8 ppt", to_gh="9")
    assert "for both waters" in errors(page)["from_salinity"]


def test_acclimation_takes_a_limit_in_fahrenheit(visit: Visitor) -> None:
    page = ask(visit, "acclimation", from_temperature="28 C", to_temperature="24 C", most_temperature="3.6 F")
    assert "2 steps, one a day; into the tank on Tue 16 June" in page.words
    page = ask(visit, "acclimation", 422, from_gh="20", to_gh="9", most_gh="0")
    assert "give a limit above 0" in errors(page)["most_gh"]


def test_a_slip_of_the_year_is_refused(visit: Visitor) -> None:
    page = ask(visit, "acclimation", 422, from_gh="20", to_gh="9", start="2062-06-15")
    assert "within a year" in errors(page)["start"]


def test_a_hatch_is_planned_by_the_fishrooms_clock(visit: Visitor) -> None:
    page = ask(visit, "brine-shrimp", nauplii="50000", temperature="25", day="2026-06-17", hour="18:00")
    assert "Start Tue 16 June 12:00 with 0.25 g of cysts" in page.words


def test_a_started_hatch_is_told_to_the_rounds_and_taken_back(visit: Visitor, made: Made) -> None:
    waiting_dam(made)
    first, kept = "Start a brine-shrimp hatch for the fry", "Done: a brine-shrimp hatch was started"
    assert first in visit.open("/").words
    asked = "/water-bench/brine-shrimp?nauplii=50000&temperature=25+C"
    page = visit.open(asked)
    key = page.value("key")
    told = visit.post("/reminders", asked, key=key, rule="brine_shrimp", words=kept[6:], kind="done")
    assert kept in told.words
    assert first not in visit.open("/").words
    assert morning(made.session, made.actor).facts.hatching == made.actor.today
    act = told.all("form")
    undo = next(f.get("action") or "" for f in act if "/undo" in (f.get("action") or ""))
    visit.post(undo, "/")
    assert first in visit.open("/").words


def test_a_reader_is_not_asked_whether_a_hatch_was_started(reading: Visitor) -> None:
    page = reading.open("/water-bench/brine-shrimp?nauplii=50000&temperature=25+C")
    assert "cysts" in page.words
    assert "A hatch is started today" not in page.words


def test_a_hatch_that_should_have_begun_says_so(visit: Visitor) -> None:
    page = ask(visit, "brine-shrimp", nauplii="50000", temperature="25", day="2026-06-15", hour="18:00")
    assert "That start has passed" in page.words
    assert "Tue 16 June 14:00 to Tue 16 June 20:00" in page.words  # noon in UTC is 14:00 in Berlin
