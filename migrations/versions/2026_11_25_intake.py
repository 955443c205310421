"""Intake: the mappings that schools keep, and their changes in the register.

Revision ID: 8e41b07d52c6
Revises: 5c0d9e7ab214
"""

from collections.abc import Sequence

import sqlalchemy as sa
from alembic import op

revision: str = '8e41b07d52c6'
down_revision: str | None = '5c0d9e7ab214'
branch_labels: str | Sequence[str] | None = None
depends_on: str | Sequence[str] | None = None

SUBJECTS = "subject IN ('school', 'site', 'kit', 'kit-lot', 'watershed', 'criterion', 'index', 'key', 'visit'"


def _code() -> sa.types.TypeEngine[str]:
    return sa.String(64).with_variant(sa.String(64, collation="C"), "postgresql")


def upgrade() -> None:
    op.create_table('kept_mapping',
    sa.Column('school', _code(), nullable=False),
    sa.Column('code', _code(), nullable=False),
    sa.Column('content', sa.JSON(), nullable=False),
    sa.Column('changed_at', sa.DateTime(timezone=True), nullable=False),
    sa.ForeignKeyConstraint(['school'], ['school.code'], name=op.f('fk_kept_mapping_school')),
    sa.PrimaryKeyConstraint('school', 'code', name=op.f('pk_kept_mapping'))
    )
    with op.batch_alter_table('change', schema=None) as batch_op:
        batch_op.drop_constraint(batch_op.f('ck_change_subject_listed'), type_='check')
        batch_op.create_check_constraint(batch_op.f('ck_change_subject_is_known'), SUBJECTS + ", 'mapping')")


def downgrade() -> None:
    # The older rule does not know mappings; that one was changed goes with the mappings themselves.
    op.execute("DELETE FROM change WHERE subject = 'mapping'")
    with op.batch_alter_table('change', schema=None) as batch_op:
        batch_op.drop_constraint(batch_op.f('ck_change_subject_is_known'), type_='check')
        batch_op.create_check_constraint(batch_op.f('ck_change_subject_listed'), SUBJECTS + ")")
    op.drop_table('kept_mapping')
