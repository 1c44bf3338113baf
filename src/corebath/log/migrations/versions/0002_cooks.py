"""Cooks, their events, ratings, readings and photos"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0002_cooks"
down_revision = "0001_gear"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "cook",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uid", sa.String(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("question", sa.String(), nullable=False),
        sa.Column("planned_at_us", sa.BigInteger(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("food", sa.String(), nullable=False),
        sa.Column("set_point_C", sa.Double(), nullable=False),
        sa.Column("thickness_m", sa.Double(), nullable=False),
        sa.Column("planned_bath_s", sa.Double(), nullable=False),
        sa.Column("ended", sa.Boolean(), nullable=False),
        sa.Column("words", sa.String(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_cook")),
        sa.UniqueConstraint("uid", name=op.f("uq_cook_uid")),
        sqlite_autoincrement=True,
    )
    op.create_index(op.f("ix_cook_planned_at_us"), "cook", ["planned_at_us"])
    op.create_table(
        "event",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("cook_id", sa.Integer(), nullable=False),
        sa.Column("happening", sa.String(), nullable=False),
        sa.Column("at_us", sa.BigInteger(), nullable=False),
        sa.Column("told_at_us", sa.BigInteger(), nullable=False),
        sa.Column("value_C", sa.Double(), nullable=True),
        sa.Column("text", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(["cook_id"], ["cook.id"], name=op.f("fk_event_cook_id_cook"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_event")),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_event_cook_id_at_us", "event", ["cook_id", "at_us"])
    op.create_table(
        "rating",
        sa.Column("cook_id", sa.Integer(), nullable=False),
        sa.Column("tender", sa.Integer(), nullable=True),
        sa.Column("juicy", sa.Integer(), nullable=True),
        sa.Column("done", sa.Integer(), nullable=True),
        sa.Column("crust", sa.Integer(), nullable=True),
        sa.Column("salt", sa.Integer(), nullable=True),
        sa.Column("note", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(["cook_id"], ["cook.id"], name=op.f("fk_rating_cook_id_cook"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("cook_id", name=op.f("pk_rating")),
    )
    op.create_table(
        "reading",
        sa.Column("cook_id", sa.Integer(), nullable=False),
        sa.Column("place", sa.String(), nullable=False),
        sa.Column("at_us", sa.BigInteger(), nullable=False),
        sa.Column("value_C", sa.Double(), nullable=False),
        sa.Column("source", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(["cook_id"], ["cook.id"], name=op.f("fk_reading_cook_id_cook"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("cook_id", "place", "at_us", "value_C", name=op.f("pk_reading")),
        sqlite_with_rowid=False,
    )
    op.create_table(
        "photo",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("cook_id", sa.Integer(), nullable=False),
        sa.Column("at_us", sa.BigInteger(), nullable=False),
        sa.Column("caption", sa.String(), nullable=False),
        sa.Column("media_type", sa.String(), nullable=False),
        sa.Column("size", sa.Integer(), nullable=False),
        sa.Column("data", sa.LargeBinary(), nullable=False),
        sa.ForeignKeyConstraint(["cook_id"], ["cook.id"], name=op.f("fk_photo_cook_id_cook"), ondelete="CASCADE"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_photo")),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_photo_cook_id_at_us", "photo", ["cook_id", "at_us"])


def downgrade() -> None:
    for name in ("photo", "reading", "rating", "event", "cook"):
        op.drop_table(name)
