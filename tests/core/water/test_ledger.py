"""Nothing dissolved is lost, whatever is poured; what is not known is said to be so."""

from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.core.problems import Problem
from app.core.water.hardness import rise
from app.core.water.ledger import (
    Account,
    Changed,
    Dosed,
    Event,
    Held,
    Key,
    Measured,
    ToppedUp,
    account,
    blend,
    faded,
)
from app.core.water.salt import Change, Dose, TopUp, ledger
from tests.reference.published import Case, case, cases

BEGIN = datetime(2026, 3, 1, 12, tzinfo=UTC)
MEDICINE = 7
LITRES = 60.0


def hours(number: float) -> datetime:
    return BEGIN + timedelta(hours=number)


def now(found: Account) -> float | None:
    return found.points[-1].after


def salted(*events: Event, key: Key = Held.SALT, start: float | None = 0.0) -> Account:
    return account(key, LITRES, events, start=start)


# --- against a simulation that carries parcels --------------------------------------------------------


@dataclass
class Bucket:
    """A tank as some hundred parcels of water, each with its own grams."""

    litres: float
    parcels: list[float] = field(default_factory=lambda: [0.0] * 120)
    gone: float = 0.0

    def stir(self) -> None:
        """Make all parcels alike."""
        self.parcels = [sum(self.parcels) / len(self.parcels)] * len(self.parcels)

    def take(self, share: float) -> None:
        """Pour out a share, parcel by parcel."""
        whole, rest = divmod(share * len(self.parcels), 1.0)
        for number in range(int(whole)):
            self._spill(number, 1.0)
        if int(whole) < len(self.parcels):
            self._spill(int(whole), rest)

    def _spill(self, number: int, share: float) -> None:
        self.gone += self.parcels[number] * share
        self.parcels[number] *= 1.0 - share

    def pour(self, grams: float) -> None:
        """Put grams into one parcel and stir."""
        self.parcels[0] += grams
        self.stir()

    @property
    def grams(self) -> float:
        """What all parcels hold."""
        return sum(self.parcels)


MOVES = st.lists(
    st.one_of(
        st.tuples(st.just("dose"), st.floats(0, 300), st.just(0.0)),
        st.tuples(st.just("change"), st.floats(0, 1), st.floats(0, 5)),
        st.tuples(st.just("top-up"), st.floats(0, 0.3), st.floats(0, 2)),
    ),
    max_size=25,
)


def event_of(number: int, kind: str, amount: float, level: float, litres: float) -> Event:
    if kind == "dose":
        return Dosed(hours(number), {Held.SALT: amount})
    made = Changed if kind == "change" else ToppedUp
    return made(hours(number), amount * litres, {Held.SALT: level})


@given(st.floats(10, 400), MOVES)
def test_the_ledger_holds_what_a_simulation_in_parcels_holds_and_mass_is_conserved(
    litres: float, moves: list[tuple[str, float, float]]
) -> None:
    bucket, poured = Bucket(litres), 0.0
    events = [event_of(number, *move, litres) for number, move in enumerate(moves)]
    found = account(Held.SALT, litres, events, start=0.0)
    for point, (kind, amount, level) in zip(found.points, moves, strict=True):
        grams = amount if kind == "dose" else amount * litres * level
        bucket.take(amount if kind == "change" else 0.0)
        bucket.pour(grams)
        poured += grams
        assert point.after is not None
        assert point.after * litres == pytest.approx(bucket.grams, abs=1e-6)
        assert point.after * litres + bucket.gone == pytest.approx(poured, abs=1e-6)


@given(st.floats(10, 400), MOVES)
def test_the_ledger_agrees_with_the_salt_calculator(
    litres: float, moves: list[tuple[str, float, float]]
) -> None:
    events = [event_of(number, *move, litres) for number, move in enumerate(moves) if move[0] != "top-up"]
    plain = [Dose(a) if kind == "dose" else Change(a, c) for kind, a, c in moves if kind != "top-up"]
    found = account(Held.SALT, litres, events, start=0.0)
    assert [point.after for point in found.points] == pytest.approx(list(ledger(litres, plain)))


@given(st.floats(0.1, 60), st.lists(st.floats(0, 20), min_size=1, max_size=8))
def test_a_medicine_with_a_half_life_is_the_sum_of_what_is_left_of_each_dose(
    half_life: float, days: list[float]
) -> None:
    events = [Dosed(BEGIN + timedelta(days=day), {MEDICINE: 120.0}) for day in days]
    found = account(MEDICINE, LITRES, events, start=0.0, half_life_days=half_life)
    end = BEGIN + timedelta(days=25)
    left = sum(120.0 / LITRES * 0.5 ** ((25 - day) / half_life) for day in days)
    assert found.at(end) == pytest.approx(left, rel=1e-6)


@given(st.lists(st.integers(0, 100), min_size=2, max_size=12, unique=True))
def test_the_order_in_which_events_are_told_does_not_matter(at: list[int]) -> None:
    events = [Dosed(hours(hour), {Held.SALT: 10.0 + hour}) for hour in at]
    assert salted(*events).points == salted(*reversed(events)).points
    assert all(one.at <= two.at for one, two in pairwise(salted(*events).points))


# --- by hand and by published values -----------------------------------------------------------------


def test_a_course_with_a_change_and_its_re_dose_by_hand() -> None:
    plain = {Held.SALT: 0.0}
    found = salted(
        Dosed(hours(0), {Held.SALT: 90.0}),
        Dosed(hours(24), {Held.SALT: 90.0}),
        Changed(hours(48), 18.0, plain),
        Dosed(hours(48), {Held.SALT: 54.0}),
    )
    assert [point.after for point in found.points] == pytest.approx([1.5, 3.0, 2.1, 3.0])


@pytest.mark.parametrize("reference", cases(2, "2.SER"), ids=lambda one: one.id)
def test_a_series_of_changes_leaves_the_published_share(reference: Case) -> None:
    told = reference.inputs
    fractions = told["f"] if isinstance(told["f"], list) else [told["f"]] * told["n"]
    water = {Held.NITRATE: told.get("c_src", 0.0)}
    changes = [Changed(hours(n), f * LITRES, water) for n, f in enumerate(fractions)]
    found = account(Held.NITRATE, LITRES, changes, start=told.get("c0", 100.0))
    assert now(found) == pytest.approx(reference.expected, rel=1e-4)


def test_a_spoon_of_salt_in_five_gallons_is_the_published_strength() -> None:
    reference = case("1.MASS.5")
    litres = reference.inputs["V_usgal"] * case("1.UNIT.1").expected
    found = account(Held.SALT, litres, [Dosed(BEGIN, {Held.SALT: reference.inputs["tbsp_g"]})], start=0.0)
    assert now(found) == pytest.approx(reference.expected, abs=1e-3)


@pytest.mark.parametrize("reference", cases(3, "3.GH"), ids=lambda one: one.id)
def test_salts_raise_hardness_as_published(reference: Case) -> None:
    grams, litres = reference.inputs["g"], reference.inputs["L"]
    formula = reference.inputs["salt"].split(" ")[0]
    gain = rise(formula, grams, 1.0)
    found = account(Held.GH, litres, [Dosed(BEGIN, {Held.GH: gain.gh_dh})], start=4.0)
    assert now(found) == pytest.approx(4.0 + reference.expected[1], rel=1e-4)


def test_a_quarter_of_soft_water_softens_as_published() -> None:
    told = case("3.MIX.4").inputs
    change = Changed(BEGIN, told["out"], {Held.GH: told["src"]})
    found = account(Held.GH, told["V"], [change], start=told["GH"])
    assert now(found) == pytest.approx(case("3.MIX.4").expected)


def test_tap_and_soft_water_blend_to_the_published_hardness() -> None:
    told = case("3.MIX.2")
    soft = told.expected
    mixed = blend([(soft, {Held.GH: told.inputs["ro"]}), (1 - soft, {Held.GH: told.inputs["tap"]})])
    assert mixed[Held.GH] == pytest.approx(told.inputs["target"])


def test_evaporation_and_its_top_up_leave_the_salt_and_bring_the_taps_hardness() -> None:
    top_up = ToppedUp(hours(24), 6.0, {Held.SALT: 0.0, Held.GH: 10.0})
    assert now(salted(Dosed(hours(0), {Held.SALT: 180.0}), top_up)) == pytest.approx(3.0)
    assert now(salted(top_up, key=Held.GH, start=10.0)) == pytest.approx(11.0)


# --- what is not known -------------------------------------------------------------------------------


def test_water_of_unknown_value_makes_the_level_unknown_since_then_not_nought() -> None:
    found = salted(
        Dosed(hours(0), {Held.SALT: 60.0}),
        Changed(hours(5), 30.0, {}),
        Changed(hours(9), 6.0, {Held.SALT: 0.0}),
    )
    assert [point.after for point in found.points] == [pytest.approx(1.0), None, None]
    assert found.unknown_since == hours(5)


def test_enough_known_water_makes_the_level_known_again() -> None:
    tap = {Held.GH: 8.0}
    seven_halves = [Changed(hours(number), 30.0, tap) for number in range(7)]
    found = salted(*seven_halves, key=Held.GH, start=None)
    assert [point.after for point in found.points[:-1]] == [None] * 6
    assert now(found) == pytest.approx(8.0)
    assert found.unknown_since is None


def test_a_test_makes_an_unknown_level_known_and_leaves_a_known_one_alone() -> None:
    test = Measured(hours(1), Held.GH, 6.0)
    assert now(salted(test, key=Held.GH, start=None)) == 6.0
    kept = salted(test, key=Held.GH, start=9.0)
    assert (kept.points[0].before, kept.points[0].after) == (9.0, 9.0)


def test_a_trusted_test_moves_the_ledger_to_it() -> None:
    assert now(salted(Measured(hours(1), Held.GH, 6.0, trusted=True), key=Held.GH, start=9.0)) == 6.0
    followed = account(
        Held.NITRATE, LITRES, [Measured(hours(1), Held.NITRATE, 20.0)], start=3.0, follow_tests=True
    )
    assert now(followed) == 20.0


def test_a_mineral_mix_without_figures_leaves_hardness_unknown() -> None:
    found = salted(Dosed(hours(0), {Held.GH: None}), key=Held.GH, start=5.0)
    assert now(found) is None
    assert found.unknown_since == hours(0)


def test_no_source_water_holds_a_medicine() -> None:
    found = account(
        MEDICINE, LITRES, [Dosed(hours(0), {MEDICINE: 60.0}), Changed(hours(1), 30.0, {})], start=0.0
    )
    assert now(found) == pytest.approx(0.5)


def test_a_blend_is_the_mean_by_volume_and_unknown_where_one_part_is() -> None:
    tap, rain = {Held.GH: 12.0, Held.KH: 6.0, Held.SALT: 0.2}, {Held.GH: 0.0, Held.SALT: 0.0}
    mixed = blend([(10.0, tap), (30.0, rain)])
    assert (mixed[Held.GH], mixed[Held.SALT]) == pytest.approx((3.0, 0.05))
    assert mixed[Held.KH] is None
    assert blend([])[Held.SALT] is None


# --- time --------------------------------------------------------------------------------------------


def test_levels_can_be_asked_at_any_moment() -> None:
    found = salted(Dosed(hours(1), {Held.SALT: 60.0}), Dosed(hours(3), {Held.SALT: 60.0}))
    assert [found.at(hours(h)) for h in (0, 1, 2, 3, 9)] == pytest.approx([0.0, 1.0, 1.0, 2.0, 2.0])


def test_half_is_left_after_a_half_life() -> None:
    assert faded(4.0, hours(0), hours(48), 2.0) == pytest.approx(2.0)
    assert faded(4.0, hours(0), hours(48), None) == 4.0
    assert faded(None, hours(0), hours(48), 2.0) is None


def test_at_one_moment_a_test_comes_first_then_the_change_then_the_dose() -> None:
    found = salted(
        Dosed(hours(0), {Held.SALT: 60.0}),
        Changed(hours(0), 30.0, {Held.SALT: 0.0}),
        Measured(hours(0), Held.SALT, 2.0),
        start=2.0,
    )
    assert [point.after for point in found.points] == pytest.approx([2.0, 1.0, 2.0])


# --- refusals ----------------------------------------------------------------------------------------


def test_more_water_than_the_tank_holds_is_refused_by_name() -> None:
    for made in (Changed, ToppedUp):
        with pytest.raises(Problem, match="61 L cannot be taken from 60 L") as refused:
            salted(made(hours(0), 61.0, {}))
        assert refused.value.field == "litres"


def test_less_than_nothing_is_refused_by_name() -> None:
    with pytest.raises(Problem, match="below zero"):
        salted(Dosed(hours(0), {Held.SALT: -1.0}))
    with pytest.raises(Problem, match="is no tank"):
        account(Held.SALT, 0.0, [])
    with pytest.raises(Problem, match="below zero"):
        account(Held.SALT, 10.0, [], start=-1.0)
    with pytest.raises(Problem, match="half-life"):
        account(MEDICINE, 10.0, [], half_life_days=0.0)


def test_the_salt_calculators_top_up_takes_nothing_either() -> None:
    assert ledger(LITRES, [Dose(180.0), TopUp(6.0)])[-1] == pytest.approx(
        now(salted(Dosed(hours(0), {Held.SALT: 180.0}), ToppedUp(hours(1), 6.0, {Held.SALT: 0.0})))
    )
