"""Gear: the kitchen, its vessels and heaters"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0001_gear"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "kitchen",
        sa.Column("id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("zone", sa.String(), nullable=False),
        sa.Column("units", sa.String(), nullable=False),
        sa.Column("authority", sa.String(), nullable=False),
        sa.Column("air_C", sa.Double(), nullable=False),
        sa.Column("humidity", sa.Double(), nullable=False),
        sa.Column("altitude_m", sa.Double(), nullable=False),
        sa.Column("draught_m_s", sa.Double(), nullable=False),
        sa.Column("cold_tap_C", sa.Double(), nullable=False),
        sa.Column("hot_tap_C", sa.Double(), nullable=False),
        sa.Column("fridge_C", sa.Double(), nullable=True),
        sa.Column("freezer_C", sa.Double(), nullable=False),
        sa.Column("probe_offset_K", sa.Double(), nullable=False),
        sa.Column("price_per_kWh", sa.Double(), nullable=True),
        sa.Column("currency", sa.String(), nullable=False),
        sa.Column("cover", sa.String(), nullable=False),
        sa.CheckConstraint("id = 1", name=op.f("ck_kitchen_only_one")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_kitchen")),
    )
    op.create_table(
        "heater",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("kitchen_id", sa.Integer(), nullable=False),
        sa.Column("place", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("power_W", sa.Double(), nullable=False),
        sa.Column("lowest_m", sa.Double(), nullable=False),
        sa.Column("highest_m", sa.Double(), nullable=False),
        sa.Column("sd_K", sa.Double(), nullable=False),
        sa.Column("room_m", sa.Double(), nullable=False),
        sa.ForeignKeyConstraint(
            ["kitchen_id"], ["kitchen.id"], name=op.f("fk_heater_kitchen_id_kitchen"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_heater")),
    )
    op.create_table(
        "vessel",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("kitchen_id", sa.Integer(), nullable=False),
        sa.Column("place", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("length_m", sa.Double(), nullable=False),
        sa.Column("width_m", sa.Double(), nullable=True),
        sa.Column("depth_m", sa.Double(), nullable=False),
        sa.Column("wall", sa.String(), nullable=False),
        sa.Column("wrap_m2K_W", sa.Double(), nullable=False),
        sa.ForeignKeyConstraint(
            ["kitchen_id"], ["kitchen.id"], name=op.f("fk_vessel_kitchen_id_kitchen"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_vessel")),
    )


def downgrade() -> None:
    op.drop_table("vessel")
    op.drop_table("heater")
    op.drop_table("kitchen")
