"""queue, reminders and messages."""

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:

    op.create_table(
        "calendar_event",
        sa.Column("uid", sa.String(length=120), nullable=False),
        sa.Column("kind", sa.String(length=40), nullable=False),
        sa.Column("title", sa.String(length=200), nullable=False),
        sa.Column("starts_on", sa.Date(), nullable=False),
        sa.Column("ends_on", sa.Date(), nullable=False),
        sa.Column("digest", sa.String(length=64), nullable=False),
        sa.Column("sequence", sa.Integer(), nullable=False),
        sa.Column("changed_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("cancelled_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("fishroom_id", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(
            ["fishroom_id"],
            ["fishroom.id"],
            name=op.f("fk_calendar_event_fishroom_id_fishroom"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_calendar_event")),
        sa.UniqueConstraint("fishroom_id", "id", name=op.f("uq_calendar_event_fishroom_id_id")),
        sa.UniqueConstraint("fishroom_id", "uid", name=op.f("uq_calendar_event_fishroom_id_uid")),
    )
    with op.batch_alter_table("calendar_event", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_calendar_event_fishroom_id"), ["fishroom_id"], unique=False)

    op.create_table(
        "channel",
        sa.Column("user_id", sa.Integer(), nullable=False),
        sa.Column("address_cipher", sa.Text(), nullable=False),
        sa.Column("shown", sa.String(length=80), nullable=False),
        sa.Column("send_at", sa.Time(), nullable=False),
        sa.Column("paused", sa.Boolean(), nullable=False),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("broken_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("broken_words", sa.String(length=300), nullable=False),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("fishroom_id", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(
            ["fishroom_id"], ["fishroom.id"], name=op.f("fk_channel_fishroom_id_fishroom"), ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(
            ["user_id"], ["user_account.id"], name=op.f("fk_channel_user_id_user_account"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_channel")),
        sa.UniqueConstraint("fishroom_id", "id", name=op.f("uq_channel_fishroom_id_id")),
    )
    with op.batch_alter_table("channel", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_channel_fishroom_id"), ["fishroom_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_channel_user_id"), ["user_id"], unique=False)

    op.create_table(
        "muted",
        sa.Column("rule", sa.String(length=40), nullable=False),
        sa.Column("subject", sa.String(length=40), nullable=False),
        sa.Column("muted_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("fishroom_id", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(
            ["fishroom_id"], ["fishroom.id"], name=op.f("fk_muted_fishroom_id_fishroom"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_muted")),
        sa.UniqueConstraint("fishroom_id", "id", name=op.f("uq_muted_fishroom_id_id")),
        sa.UniqueConstraint("fishroom_id", "rule", "subject", name=op.f("uq_muted_fishroom_id_rule_subject")),
    )
    with op.batch_alter_table("muted", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_muted_fishroom_id"), ["fishroom_id"], unique=False)

    op.create_table(
        "sent_once",
        sa.Column("user_id", sa.Integer(), nullable=False),
        sa.Column("key", sa.String(length=64), nullable=False),
        sa.Column("sent_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("answer", sa.String(length=300), nullable=False),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("fishroom_id", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(
            ["fishroom_id"],
            ["fishroom.id"],
            name=op.f("fk_sent_once_fishroom_id_fishroom"),
            ondelete="CASCADE",
        ),
        sa.ForeignKeyConstraint(
            ["user_id"],
            ["user_account.id"],
            name=op.f("fk_sent_once_user_id_user_account"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_sent_once")),
        sa.UniqueConstraint("fishroom_id", "id", name=op.f("uq_sent_once_fishroom_id_id")),
        sa.UniqueConstraint("user_id", "key", name=op.f("uq_sent_once_user_id_key")),
    )
    with op.batch_alter_table("sent_once", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_sent_once_fishroom_id"), ["fishroom_id"], unique=False)

    op.create_table(
        "delivery",
        sa.Column("channel_id", sa.Integer(), nullable=False),
        sa.Column("day", sa.Date(), nullable=False),
        sa.Column(
            "state",
            sa.Enum(
                "claimed",
                "sent",
                "to be tried again",
                "failed",
                "nothing to say",
                name="deliverystate",
                native_enum=False,
                create_constraint=True,
                length=32,
            ),
            nullable=False,
        ),
        sa.Column("attempts", sa.Integer(), nullable=False),
        sa.Column("claimed_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("next_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("sent_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("words", sa.String(length=300), nullable=False),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("fishroom_id", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(
            ["fishroom_id", "channel_id"],
            ["channel.fishroom_id", "channel.id"],
            name=op.f("fk_delivery_fishroom_id_channel_id_channel"),
        ),
        sa.ForeignKeyConstraint(
            ["fishroom_id"],
            ["fishroom.id"],
            name=op.f("fk_delivery_fishroom_id_fishroom"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_delivery")),
        sa.UniqueConstraint("channel_id", "day", name=op.f("uq_delivery_channel_id_day")),
        sa.UniqueConstraint("fishroom_id", "id", name=op.f("uq_delivery_fishroom_id_id")),
    )
    with op.batch_alter_table("delivery", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_delivery_channel_id"), ["channel_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_delivery_fishroom_id"), ["fishroom_id"], unique=False)

    op.create_table(
        "lead_time",
        sa.Column("rule", sa.String(length=40), nullable=False),
        sa.Column("line_id", sa.Integer(), nullable=True),
        sa.Column("days", sa.Integer(), nullable=False),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("fishroom_id", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(
            ["fishroom_id", "line_id"],
            ["line.fishroom_id", "line.id"],
            name=op.f("fk_lead_time_fishroom_id_line_id_line"),
        ),
        sa.ForeignKeyConstraint(
            ["fishroom_id"],
            ["fishroom.id"],
            name=op.f("fk_lead_time_fishroom_id_fishroom"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_lead_time")),
        sa.UniqueConstraint("fishroom_id", "id", name=op.f("uq_lead_time_fishroom_id_id")),
        sa.UniqueConstraint(
            "fishroom_id", "rule", "line_id", name=op.f("uq_lead_time_fishroom_id_rule_line_id")
        ),
    )
    with op.batch_alter_table("lead_time", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_lead_time_fishroom_id"), ["fishroom_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_lead_time_line_id"), ["line_id"], unique=False)

    op.create_table(
        "project_check",
        sa.Column("project_id", sa.Integer(), nullable=False),
        sa.Column(
            "stage",
            sa.Enum(
                "plan",
                "pair",
                "raise",
                "choose",
                "rehome",
                "close",
                name="stage",
                native_enum=False,
                create_constraint=True,
                length=32,
            ),
            nullable=False,
        ),
        sa.Column("words", sa.String(length=160), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("done_on", sa.Date(), nullable=True),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("fishroom_id", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(
            ["fishroom_id", "project_id"],
            ["project.fishroom_id", "project.id"],
            name=op.f("fk_project_check_fishroom_id_project_id_project"),
        ),
        sa.ForeignKeyConstraint(
            ["fishroom_id"],
            ["fishroom.id"],
            name=op.f("fk_project_check_fishroom_id_fishroom"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_project_check")),
        sa.UniqueConstraint("fishroom_id", "id", name=op.f("uq_project_check_fishroom_id_id")),
    )
    with op.batch_alter_table("project_check", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_project_check_fishroom_id"), ["fishroom_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_project_check_project_id"), ["project_id"], unique=False)

    op.create_table(
        "project_money",
        sa.Column("project_id", sa.Integer(), nullable=False),
        sa.Column("on", sa.Date(), nullable=False),
        sa.Column(
            "kind",
            sa.Enum("cost", "income", name="moneykind", native_enum=False, create_constraint=True, length=32),
            nullable=False,
        ),
        sa.Column("hundredths", sa.Integer(), nullable=False),
        sa.Column("words", sa.String(length=160), nullable=False),
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("fishroom_id", sa.Integer(), nullable=False),
        sa.CheckConstraint("hundredths > 0", name=op.f("ck_project_money_some_money")),
        sa.ForeignKeyConstraint(
            ["fishroom_id", "project_id"],
            ["project.fishroom_id", "project.id"],
            name=op.f("fk_project_money_fishroom_id_project_id_project"),
        ),
        sa.ForeignKeyConstraint(
            ["fishroom_id"],
            ["fishroom.id"],
            name=op.f("fk_project_money_fishroom_id_fishroom"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_project_money")),
        sa.UniqueConstraint("fishroom_id", "id", name=op.f("uq_project_money_fishroom_id_id")),
    )
    with op.batch_alter_table("project_money", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_project_money_fishroom_id"), ["fishroom_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_project_money_project_id"), ["project_id"], unique=False)

    op.add_column(
        "calendar_feed", sa.Column("label", sa.String(length=60), server_default="", nullable=False)
    )
    op.add_column(
        "calendar_feed", sa.Column("kinds", sa.String(length=200), server_default="", nullable=False)
    )
    op.add_column("calendar_feed", sa.Column("alarm_hour", sa.Integer(), nullable=True))

    op.add_column("fishroom", sa.Column("turn_round_days", sa.Integer(), server_default="3", nullable=False))
    op.add_column("fishroom", sa.Column("money", sa.String(length=3), server_default="", nullable=False))
    op.add_column("fishroom", sa.Column("quiet_from", sa.Time(), nullable=True))
    op.add_column("fishroom", sa.Column("quiet_to", sa.Time(), nullable=True))

    op.add_column("project", sa.Column("wanted_females", sa.Integer(), nullable=True))
    op.add_column("project", sa.Column("wanted_males", sa.Integer(), nullable=True))
    op.add_column("project", sa.Column("purpose", sa.String(length=80), server_default="", nullable=False))
    op.add_column("project", sa.Column("least_litres", sa.Double(), nullable=True))
    op.add_column("project", sa.Column("not_before", sa.Date(), nullable=True))
    op.add_column("project", sa.Column("lasts_from_days", sa.Integer(), nullable=True))
    op.add_column("project", sa.Column("lasts_to_days", sa.Integer(), nullable=True))


def downgrade() -> None:

    op.drop_column("project", "lasts_to_days")
    op.drop_column("project", "lasts_from_days")
    op.drop_column("project", "not_before")
    op.drop_column("project", "least_litres")
    op.drop_column("project", "purpose")
    op.drop_column("project", "wanted_males")
    op.drop_column("project", "wanted_females")

    op.drop_column("fishroom", "quiet_to")
    op.drop_column("fishroom", "quiet_from")
    op.drop_column("fishroom", "money")
    op.drop_column("fishroom", "turn_round_days")

    op.drop_column("calendar_feed", "alarm_hour")
    op.drop_column("calendar_feed", "kinds")
    op.drop_column("calendar_feed", "label")

    op.drop_table("project_money")
    op.drop_table("project_check")
    op.drop_table("lead_time")
    op.drop_table("delivery")
    op.drop_table("sent_once")
    op.drop_table("muted")
    op.drop_table("channel")
    op.drop_table("calendar_event")
