"""One step of a plan, about to be done: how much exactly, how that is reckoned, and what to mind."""

from dataclasses import dataclass

from sqlalchemy.orm import Session

from app.core.cautions import HANDS, WASTE, Caution
from app.core.quantities import show_salinity, show_volume
from app.core.water.ledger import Held
from app.core.water.mixing import after_change
from app.core.water.salt_course import PLAIN_G_PER_L
from app.core.wording import begun
from app.queries.bench.answers import fig
from app.queries.bench.salt import spoon_words
from app.queries.choices import open_waters
from app.queries.courses import POURED, amount_asked, amount_words, lacks_of, level_now, redose
from app.queries.ledger import TankLedger, tank_ledger
from app.queries.plans import PlanShown, StepShown, fish_of_plan, level_words, plans_shown
from app.queries.water_forms import dose_cautions
from app.store.actor import Actor
from app.store.plans import Plan, PlanKind, PlanStep
from app.store.session import NotFound, find
from app.store.tanks import Tank
from app.store.waters import SourceWater, Substance, SubstanceKind

BAG = (
    "Slowly, a cup at a time. A fish that lies down, gasps or clamps its fins needs the last step undone "
    "and a slower plan."
)


@dataclass(frozen=True, slots=True)
class StepPage:
    """What a step asks for now; ``amount`` is None where nothing is to be dosed."""

    plan: PlanShown
    step: StepShown
    words: str
    amount: float | None
    now: str
    then: str
    more: tuple[str, ...]
    working: tuple[str, ...]
    cautions: tuple[Caution, ...]
    sources: tuple[tuple[int, str], ...]
    fish: tuple[tuple[int, str], ...] = ()

    @property
    def title(self) -> str:
        """What it is in a few words; ``aim`` says the rest."""
        if self.step.kind == "look":
            return "The daily look"
        return "The end of quarantine" if self.leaves else self.words.split(", to ", 1)[0]

    @property
    def aim(self) -> str:
        """What the title leaves out."""
        if self.step.kind == "look" or self.leaves:
            return begun(self.words.rpartition(": ")[2])
        return begun(self.words[len(self.title) :].removeprefix(", "))

    @property
    def leaves(self) -> bool:
        """Whether it asks how a quarantine ends."""
        return self.plan.kind == PlanKind.QUARANTINE and self.step.kind == "decide"

    @property
    def pours(self) -> bool:
        """Whether it asks for a dose."""
        return self.step.kind in POURED

    @property
    def changes(self) -> bool:
        """Whether it asks for a change of water."""
        return self.step.kind == "change water" and bool(self.sources)


def step_page(session: Session, actor: Actor, step_id: int) -> StepPage:
    """Reckon one step."""
    step = find(session, PlanStep, step_id)
    (plan,) = plans_shown(session, actor, Plan.id == step.plan_id)
    shown = next(one for one in plan.steps if one.id == step.id)
    tank, ledger = find(session, Tank, plan.tank_id), tank_ledger(session, actor, plan.tank_id)
    if shown.kind in POURED:
        return _dose(session, actor, plan, shown, tank, ledger)
    if shown.kind == "change water":
        return _change(session, actor, plan, shown, ledger)
    return StepPage(
        plan,
        shown,
        begun(shown.words),
        None,
        "",
        "",
        (),
        (),
        (HANDS,),
        (),
        fish_of_plan(session, plan.id),
    )


def _dose(
    session: Session, actor: Actor, plan: PlanShown, step: StepShown, tank: Tank, ledger: TankLedger
) -> StepPage:
    substance = find(session, Substance, plan.substance_id)
    now = level_now(ledger, substance, actor.now)
    amount = amount_asked(ledger, substance, step, actor.now)
    held = level_words(now, substance) if now is not None else "not known"
    if amount is None:
        words = f"Nothing is missing to {level_words(step.level or 0.0, substance)}"
        words = words if now is not None else f"How much {substance.name} {tank.name} holds is not known"
        return StepPage(
            plan, step, words, None, held, "", ("Skip this step, or give what was added.",), (), (), ()
        )
    spoons = spoon_words(amount) if substance.kind is SubstanceKind.SALT else ""
    return StepPage(
        plan,
        step,
        f"Add {amount_words(substance, amount)} of {substance.name} to {tank.name}",
        amount,
        held,
        level_words(step.level or 0.0, substance) if step.kind == "raise to" else "",
        (f"By the spoon about {spoons} of table salt; weigh it where you can.",) if spoons else (),
        _working(step, substance, ledger, now or 0.0, amount),
        dose_cautions(substance, tank),
        (),
    )


def _working(
    step: StepShown, substance: Substance, ledger: TankLedger, now: float, amount: float
) -> tuple[str, ...]:
    unit, litres, level = substance.measure.value, fig(ledger.litres), step.level or 0.0
    if step.kind == "dose":
        return (f"{fig(level)} {unit}/L × {litres} L = {fig(amount)} {unit}",)
    return (f"({fig(level)} − {fig(now)}) g/L × {litres} L = {fig(amount)} {unit}",)


def _change(session: Session, actor: Actor, plan: PlanShown, step: StepShown, ledger: TankLedger) -> StepPage:
    if plan.kind == PlanKind.ACCLIMATION and plan.source_id is None:
        return StepPage(plan, step, begun(step.words), None, "", "", (BAG,), (), (HANDS,), ())
    litres = (step.fraction or 0.0) * ledger.litres
    now = ledger.level(Held.SALT, actor.now)
    held = f"{show_salinity(now)} of salt" if now is not None else "an unknown amount of salt"
    down = plan.kind == PlanKind.DESALTING and bool(now)
    after = _after(session, plan, step, now or 0.0) if down else step.salinity_g_per_l if now else None
    words = step.words.split(", to ", 1)[0] if down else step.words
    return StepPage(
        plan,
        step,
        f"{begun(words)}: {show_volume(litres, actor.units)}",
        None,
        held,
        show_salinity(after) if after is not None else "",
        ("New water as warm as the tank's, free of chlorine.", *(_differs(step, now, after) if down else ())),
        (f"V = {fig((step.fraction or 0.0) * 100)} % × {fig(ledger.litres)} L = {fig(litres)} L",),
        (HANDS, WASTE) if now else (HANDS,),
        open_waters(session),
    )


def _after(session: Session, plan: PlanShown, step: StepShown, now: float) -> float | None:
    """Return the salt after a change of what the tank holds now, which may differ from what was planned."""
    water = find(session, SourceWater, plan.source_id) if plan.source_id is not None else None
    poured = water.salinity_g_per_l if water is not None else None
    if poured is None or step.fraction is None:
        return step.salinity_g_per_l
    return after_change(now, poured, step.fraction)


def _differs(step: StepShown, now: float | None, after: float | None) -> tuple[str, ...]:
    """Say where the tank is not where its plan thought it would be."""
    planned = step.salinity_g_per_l
    if now is None or after is None or planned is None:
        return ()
    if now <= PLAIN_G_PER_L:
        return ("The tank is back at plain water already: skip this step.",)
    if show_salinity(after) == show_salinity(planned):
        return ()
    return (f"The plan thought of {show_salinity(planned)} after this step; the ledger knows better.",)


@dataclass(frozen=True, slots=True)
class RedosePage:
    """What changes took of a course, and what puts it back; ``amount`` is None while nothing lacks."""

    plan: PlanShown
    words: str
    why: str
    amount: float | None
    now: str
    more: tuple[str, ...]
    working: tuple[str, ...]
    cautions: tuple[Caution, ...]


def redose_page(session: Session, actor: Actor, plan_id: int) -> RedosePage:
    """Reckon what a course lacks."""
    found = plans_shown(session, actor, Plan.id == plan_id)
    if not found or found[0].substance_id is None:
        raise NotFound(f"no course {plan_id} here")
    (plan,) = found
    substance, tank = find(session, Substance, plan.substance_id), find(session, Tank, plan.tank_id)
    ledger = tank_ledger(session, actor, tank.id)
    now = level_now(ledger, substance, actor.now)
    held = level_words(now, substance) if now is not None else "not known"
    short = redose(ledger, substance, plan.steps, actor.now) if plan.running else None
    if short is None:
        return RedosePage(plan, f"{tank.name} lacks nothing", "", None, held, (), (), ())
    (lack,) = lacks_of(session, actor, [plan])
    salt = substance.kind is SubstanceKind.SALT
    spoons = f"By the spoon about {spoon_words(short.missing)} of table salt; weigh it where you can."
    label = "Only where the label says that a change is made good; some say to wait for the next dose."
    unit = "g/L" if salt else f"{substance.measure.value}/L"
    added = f"{fig(short.missing)} {substance.measure.value}"
    return RedosePage(
        plan,
        f"Add {lack.amount_words} of {substance.name} to {tank.name}",
        f"{lack.words}.",
        short.missing,
        held,
        (spoons if salt else label,),
        (f"({fig(short.level)} − {fig(short.now)}) {unit} × {fig(ledger.litres)} L = {added}",),
        dose_cautions(substance, tank),
    )
