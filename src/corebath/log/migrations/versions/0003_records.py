"""Records of the kitchen and the temperatures in them"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0003_records"
down_revision = "0002_cooks"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "record",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("uid", sa.String(), nullable=False),
        sa.Column("points_at", sa.Integer(), nullable=True),
        sa.Column("cook_uid", sa.String(), nullable=True),
        sa.Column("step", sa.String(), nullable=False),
        sa.Column("batch", sa.String(), nullable=False),
        sa.Column("at_us", sa.BigInteger(), nullable=False),
        sa.Column("told_at_us", sa.BigInteger(), nullable=False),
        sa.Column("began_at_us", sa.BigInteger(), nullable=True),
        sa.Column("ended_at_us", sa.BigInteger(), nullable=True),
        sa.Column("initials", sa.String(), nullable=False),
        sa.Column("authority", sa.String(), nullable=False),
        sa.Column("set_C", sa.Double(), nullable=True),
        sa.Column("food", sa.String(), nullable=False),
        sa.Column("subject", sa.String(), nullable=True),
        sa.Column("pasteurised", sa.Boolean(), nullable=False),
        sa.Column("opened", sa.Boolean(), nullable=False),
        sa.Column("held_hot", sa.Boolean(), nullable=False),
        sa.Column("point", sa.String(), nullable=True),
        sa.Column("altitude_m", sa.Double(), nullable=True),
        sa.Column("offset_K", sa.Double(), nullable=False),
        sa.Column("action", sa.String(), nullable=False),
        sa.Column("note", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(["points_at"], ["record.id"], name=op.f("fk_record_points_at_record")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_record")),
        sa.UniqueConstraint("uid", name=op.f("uq_record_uid")),
        sqlite_autoincrement=True,
    )
    for column in ("points_at", "cook_uid", "at_us"):
        op.create_index(op.f(f"ix_record_{column}"), "record", [column])
    op.create_table(
        "record_measured",
        sa.Column("record_id", sa.Integer(), nullable=False),
        sa.Column("at_us", sa.BigInteger(), nullable=False),
        sa.Column("value_C", sa.Double(), nullable=False),
        sa.ForeignKeyConstraint(["record_id"], ["record.id"], name=op.f("fk_record_measured_record_id_record")),
        sa.PrimaryKeyConstraint("record_id", "at_us", name=op.f("pk_record_measured")),
        sqlite_with_rowid=False,
    )


def downgrade() -> None:
    for name in ("record_measured", "record"):
        op.drop_table(name)
