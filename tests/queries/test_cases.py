"""What the pages of cases and courses say: search, levels, lacks, who takes part, which gaps let through."""

from datetime import timedelta

import pytest

from app.core.reminders import due
from app.queries.case_page import case_page
from app.queries.cases import Sought, cases_page
from app.queries.course_look import CourseLook, course_look
from app.queries.courses import lacks
from app.queries.facts import morning
from app.queries.step_page import redose_page, step_page
from app.services import batches, cases, tanks
from app.services.cases import Ending, Subject
from app.store.cases import Ailing, CaseOutcome
from app.store.plans import Plan
from app.store.tanks import SectionKind
from tests.factories import Made
from tests.services.test_cases import opened
from tests.services.test_courses import Bench, at_strength


@pytest.fixture
def bench(made: Made) -> Bench:
    """A tank of 48 litres with a case, salt, a medicine and tap water."""
    return Bench(made)


def test_open_cases_stand_apart_from_closed_ones_and_both_are_searched(made: Made) -> None:
    first, second = opened(made), opened(made, Subject(tank_id=made.tank("Rack 9").id))
    ending = Ending(made.actor.today, CaseOutcome.RECOVERED, "Warmth and rest")
    cases.close_case(made.session, made.actor, first.id, ending)
    page = cases_page(made.session, made.actor, Sought())
    assert ([one.id for one in page.open], [one.id for one in page.closed]) == ([second.id], [first.id])
    for sought, found in (
        (Sought(words="REST warmth"), [first.id]),
        (Sought(outcome="recovered"), [first.id]),
        (Sought(sign=Ailing.TUFTS.value), [second.id, first.id]),
        (Sought(words="rack 9"), [second.id]),
        (Sought(substance="salt"), []),
    ):
        page = cases_page(made.session, made.actor, sought)
        assert [one.id for one in (*page.open, *page.closed)] == found


def test_a_long_list_of_closed_cases_is_shown_in_parts(made: Made) -> None:
    tank = Subject(tank_id=made.tank().id)
    for _ in range(23):
        case = opened(made, tank)
        cases.close_case(made.session, made.actor, case.id, Ending(made.actor.today, CaseOutcome.UNCLEAR))
    page = cases_page(made.session, made.actor, Sought(), first=20)
    assert (len(page.closed), page.part.total) == (3, 23)


def test_a_case_shows_what_the_tank_holds_and_the_next_dose_to_the_gram(bench: Bench) -> None:
    plan = bench.plan()
    page = case_page(bench.session, bench.actor, bench.case.id)
    assert page.levels == ((f"Table salt in {bench.tank.name}", "0 g/L"),)
    assert page.asked == {plan.id: "72 g"}
    bench.do(bench.steps(plan)[0])
    page = case_page(bench.session, bench.actor, bench.case.id)
    assert page.levels[0][1] == "1.5 g/L"


def test_a_case_tells_the_changes_of_its_tank_while_it_was_open(bench: Bench) -> None:
    at_strength(bench)
    bench.change(0.3)
    words = [event.words for event in case_page(bench.session, bench.actor, bench.case.id).history]
    assert words[0] == f"{bench.tank.name}: 30 % (14.4 L) changed with tap"
    assert len([each for each in words if "72 g table salt added" in each]) == 2


def test_two_changes_are_told_together_and_answered_once(bench: Bench) -> None:
    at_strength(bench)
    bench.change(0.3)
    bench.later(1)
    bench.change(0.2)
    (lack,) = lacks(bench.session, bench.actor)
    assert lack.amount == pytest.approx((3 - 3 * 0.7 * 0.8) * 48)
    found = [one for one in due(morning(bench.session, bench.actor).facts, {}) if one.rule == "redose_due"]
    assert len(found) == 1
    assert "took 63 g of table salt: add 63 g to be back at 3 g/L" in found[0].words


def test_a_slight_loss_is_not_worth_a_word(bench: Bench) -> None:
    at_strength(bench)
    bench.change(0.02)
    assert lacks(bench.session, bench.actor) == ()


def test_an_ended_course_lacks_nothing(bench: Bench) -> None:
    plan = at_strength(bench)
    bench.change(0.3)
    plan.ended_on = bench.actor.today
    assert lacks(bench.session, bench.actor) == ()


def test_a_medicine_is_put_back_only_as_its_label_says(bench: Bench) -> None:
    plan = bench.plan(substance_id=bench.medicine.id, levels=(), per_litre=0.05, times=1)
    bench.do(bench.steps(plan)[0])
    bench.later(1)
    bench.change(0.5)
    page = redose_page(bench.session, bench.actor, plan.id)
    assert page.amount == pytest.approx(1.2)
    assert "Only where the label says" in page.more[0]


def test_a_step_whose_level_is_reached_already_asks_for_nothing(bench: Bench) -> None:
    plan = bench.plan()
    first, second, _ = bench.steps(plan)
    bench.do(first, amount=160.0)
    page = step_page(bench.session, bench.actor, second.id)
    assert (page.amount, page.words) == (None, "Nothing is missing to 3 g/L")


def test_the_working_of_a_step_can_be_followed_with_a_pencil(bench: Bench) -> None:
    step = bench.steps(bench.plan())[0]
    page = step_page(bench.session, bench.actor, step.id)
    assert page.working == ("(1.5 − 0) g/L × 48 L = 72 g",)
    assert page.then == "1.5 g/L"


def looked(bench: Bench, plan: Plan) -> CourseLook:
    return course_look(bench.session, bench.actor, plan.id, ("fish", bench.case.fish_id or 0))


def test_everyone_in_the_tank_takes_part_and_a_free_tank_is_named(bench: Bench) -> None:
    bench.made.tank("Sickbay")
    mate = bench.made.sire(section=bench.made.section(bench.tank))
    look = looked(bench, bench.plan())
    assert look.mates == (mate.code,)
    assert any("Sickbay" in words and "takes part" in words for words in look.advice)
    assert [dose.amount for dose in look.doses] == ["72 g", "72 g"]


def test_whoever_is_treated_alone_needs_no_such_advice(bench: Bench) -> None:
    look = looked(bench, bench.plan())
    assert (look.mates, look.advice) == ((), ())


def test_fry_behind_a_wide_gap_are_pointed_out(bench: Bench) -> None:
    box = tanks.add_section(
        bench.session, bench.actor, bench.tank.id, name="box", kind=SectionKind.FRY_BOX, gap_mm=2.0
    )
    batch, loose = bench.made.batch(section=box), bench.made.batch(section=bench.made.section(bench.tank))
    advice = " ".join(looked(bench, bench.plan()).advice)
    assert f"young of {loose.code}" not in advice  # nothing parts them from the others
    assert f"young of {batch.code}, about 7" in advice
    assert "get through the 2 mm gap" in advice
    assert "A divider parts fish, not water" in advice


def test_fry_that_have_grown_are_held(bench: Bench) -> None:
    box = tanks.add_section(
        bench.session, bench.actor, bench.tank.id, name="box", kind=SectionKind.FRY_BOX, gap_mm=1.0
    )
    batch = bench.made.batch(section=box, age_days=60)
    batches.log_lengths(
        bench.session, bench.actor, batch.id, on=bench.actor.today, lengths_mm=(14.0, 15.0, 16.0)
    )
    assert "about 14 mm at the least, are held by" in " ".join(looked(bench, bench.plan()).advice)


def test_plants_snails_and_soft_water_fish_are_cautioned_for(bench: Bench) -> None:
    bench.tank.planted = bench.tank.invertebrates = bench.tank.soft_water_mates = True
    said = " ".join(caution.text for caution in looked(bench, bench.plan()).cautions)
    assert "plants" in said
    assert "snails" in said
    assert "soft-water" in said


def test_a_steep_rise_is_cautioned_against(bench: Bench) -> None:
    assert "A steep rise" in {one.title for one in looked(bench, bench.plan(levels=(3.0,))).cautions}
    bench.take_back()
    assert "A steep rise" not in {one.title for one in looked(bench, bench.plan()).cautions}


def test_a_step_is_due_on_the_rounds_of_its_tank(bench: Bench) -> None:
    step = bench.steps(bench.plan(start=bench.actor.today + timedelta(days=1)))[0]
    assert not [one for one in due(morning(bench.session, bench.actor).facts, {}) if "step" in one.rule]
    bench.later(1)
    (found,) = [one for one in due(morning(bench.session, bench.actor).facts, {}) if "step" in one.rule]
    assert (found.key, found.tank_id) == (f"step:{step.id}", bench.tank.id)
