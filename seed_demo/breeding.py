"""Plays pairings, drops, and waits that ended without one."""

from app.services import broods, carryings, pairings
from app.store.carryings import Outcome
from app.store.pairings import Pairing
from app.store.session import rows
from seed_demo.script import Row
from seed_demo.stage import Stage


def pair(stage: Stage, row: Row) -> None:
    """Put sires and dams together, for a project where one is named."""
    aim = row.text("project")
    pairings.make_pairing(
        stage.session,
        stage.actor,
        section_id=stage.section(row.text("where")),
        dam_ids=[stage.fish(code) for code in row.words("dams")],
        sire_ids=[stage.fish(code) for code in row.words("sires")],
        started_on=stage.actor.today,
        project_id=stage.project(aim) if aim else None,
        note=row.text("note"),
    )


def part(stage: Stage, row: Row) -> None:
    """End the pairing that runs in a place, unless it ended when its last sire or dam left."""
    place = stage.section(row.text("where"))
    running = rows(stage.session, Pairing, Pairing.section_id == place, Pairing.ended_on.is_(None))
    if running:
        to = stage.section_or_none(row.text("males_to"))
        pairings.end_pairing(stage.session, stage.actor, running[0].id, on=stage.actor.today, males_to=to)


def drop(stage: Stage, row: Row) -> None:
    """Log a drop, seen or between two days; the dam goes back where she lives."""
    first = stage.day_or_none(row, "from_ago")
    broods.log_drop(
        stage.session,
        stage.actor,
        dam_id=stage.fish(row.text("dam")),
        dropped_from=first or stage.actor.today,
        dropped_to=stage.actor.today,
        live=row.whole("live"),
        dead=row.whole("dead"),
        early=row.whole("early"),
        parents_moved_to=stage.section_or_none(row.text("parents_to")),
        movers=broods.Movers.DAM,
        note=row.text("note"),
    )


def settle(stage: Stage, row: Row) -> None:
    """Answer that a drop was missed, or that she is not carrying."""
    carryings.settle(stage.session, stage.actor, stage.fish(row.text("dam")), Outcome(row.text("outcome")))
