"""Plays what happens to batches: counts, losses, lengths, sexing, keepers, rehoming, and who waits."""

from app.services import batches, rehomings, wants
from app.store.batches import BatchSex, LossCause
from app.store.fish import Sex
from seed_demo.script import Row
from seed_demo.stage import Stage


def juveniles(stage: Stage, row: Row) -> None:
    """Let unsexed juveniles come."""
    batches.add_juveniles(
        stage.session,
        stage.actor,
        line_id=stage.line(row.text("line")),
        code=row.text("code"),
        number=row.whole("number"),
        age_days=row.whole("age_days"),
        give_or_take_days=row.whole_or_none("give_or_take_days"),
        on=stage.actor.today,
        section_id=stage.section(row.text("where")),
        source=row.text("source"),
        note=row.text("note"),
    )


def count(stage: Stage, row: Row) -> None:
    """Count a batch."""
    batches.log_count(
        stage.session,
        stage.actor,
        stage.batch(row.text("batch")),
        on=stage.actor.today,
        alive=row.whole("alive"),
        females=row.whole_or_none("females"),
        males=row.whole_or_none("males"),
    )


def lose(stage: Stage, row: Row) -> None:
    """Log a loss."""
    batches.log_loss(
        stage.session,
        stage.actor,
        stage.batch(row.text("batch")),
        on=stage.actor.today,
        number=row.whole("number"),
        cause=LossCause(row.text("cause")),
        note=row.text("note"),
    )


def measure(stage: Stage, row: Row) -> None:
    """Log a length check, as typed."""
    batches.log_lengths(
        stage.session,
        stage.actor,
        stage.batch(row.text("batch")),
        on=stage.actor.today,
        lengths_mm=[float(value) for value in row.text("lengths_mm").split()],
    )


def sort(stage: Stage, row: Row) -> None:
    """Part females and males."""
    batches.sort_sexes(
        stage.session,
        stage.actor,
        stage.batch(row.text("batch")),
        on=stage.actor.today,
        females=row.whole("females"),
        males=row.whole("males"),
        females_section_id=stage.section(row.text("females_to")),
        males_section_id=stage.section(row.text("males_to")),
    )


def keep(stage: Stage, row: Row) -> None:
    """Keep a fry as broodstock."""
    batches.keep(
        stage.session,
        stage.actor,
        stage.batch(row.text("batch")),
        on=stage.actor.today,
        sex=Sex(row.text("sex")),
        section_id=stage.section(row.text("where")),
        code=row.text("code"),
        name=row.text("name"),
        note=row.text("note"),
    )


def rehome(stage: Stage, row: Row) -> None:
    """Let a fish, or some of a batch, go to another keeper."""
    session, actor, who = stage.session, stage.actor, row.text("what")
    whom, price, note = row.text("to_whom"), row.number("price"), row.text("note")
    if stage.is_fish(who):
        rehomings.rehome_fish(
            session, actor, stage.fish(who), on=actor.today, to_whom=whom, price=price, note=note
        )
        return
    number = row.whole("number")
    rehomings.rehome(
        session, actor, stage.batch(who), on=actor.today, number=number, to_whom=whom, price=price, note=note
    )


def wait(stage: Stage, row: Row) -> None:
    """Put somebody on the list of those who wait for fish."""
    wanted = wants.Wanted(
        row.text("who"),
        stage.line(row.text("line")),
        row.whole("number"),
        stage.actor.today,
        BatchSex(row.text("sex")),
        row.text("note"),
    )
    wants.add_want(stage.session, stage.actor, wanted)
