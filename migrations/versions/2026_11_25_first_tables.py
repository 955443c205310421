"""First tables: schools and keys, watersheds, sites and kits, visits with their parts, changes.

Revision ID: 02197b4b988b
Revises: 
"""

from collections.abc import Sequence

import sqlalchemy as sa
from alembic import op
from sqlalchemy.dialects.postgresql import JSONB

revision: str = '02197b4b988b'
down_revision: str | None = None
branch_labels: str | Sequence[str] | None = None
depends_on: str | Sequence[str] | None = None


def upgrade() -> None:
    op.create_table('change',
    sa.Column('number', sa.BigInteger(), autoincrement=False, nullable=False),
    sa.Column('subject', sa.String(32), nullable=False),
    sa.Column('subject_id', sa.String(64).with_variant(sa.String(64, collation="C"), "postgresql"), nullable=False),
    sa.Column('key_id', sa.String(64).with_variant(sa.String(64, collation="C"), "postgresql"), nullable=True),
    sa.Column('at', sa.DateTime(timezone=True), nullable=False),
    sa.CheckConstraint("subject IN ('school', 'site', 'kit', 'visit')", name=op.f('ck_change_subject_known')),
    sa.PrimaryKeyConstraint('number', name=op.f('pk_change'))
    )
    op.create_table('change_counter',
    sa.Column('id', sa.SmallInteger(), autoincrement=False, nullable=False),
    sa.Column('last', sa.BigInteger(), nullable=False),
    sa.CheckConstraint('id = 1', name=op.f('ck_change_counter_single_row')),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_change_counter'))
    )
    op.execute('INSERT INTO change_counter (id, last) VALUES (1, 0)')
    op.create_table('kit',
    sa.Column('code', sa.String(64).with_variant(sa.String(64, collation="C"), "postgresql"), nullable=False),
    sa.Column('name', sa.String(120), nullable=False),
    sa.Column('kind', sa.String(32), nullable=False),
    sa.Column('parameter', sa.String(64).with_variant(sa.String(64, collation="C"), "postgresql"), nullable=False),
    sa.Column('unit', sa.String(32), nullable=False),
    sa.Column('lower', sa.Float(), nullable=False),
    sa.Column('upper', sa.Float(), nullable=False),
    sa.Column('marks', sa.JSON().with_variant(JSONB(), "postgresql"), nullable=True),
    sa.Column('step', sa.Float(), nullable=True),
    sa.Column('accuracy', sa.Float(), nullable=True),
    sa.Column('reads_zero', sa.Boolean(), nullable=False),
    sa.Column('wait_minutes_min', sa.Float(), nullable=True),
    sa.Column('wait_minutes_max', sa.Float(), nullable=True),
    sa.Column('created_at', sa.DateTime(timezone=True), nullable=False),
    sa.CheckConstraint('(marks IS NULL) <> (step IS NULL)', name=op.f('ck_kit_marks_or_step')),
    sa.CheckConstraint('lower <= upper', name=op.f('ck_kit_limits_in_order')),
    sa.PrimaryKeyConstraint('code', name=op.f('pk_kit'))
    )
    op.create_table('school',
    sa.Column('code', sa.String(64).with_variant(sa.String(64, collation="C"), "postgresql"), nullable=False),
    sa.Column('name', sa.String(120), nullable=False),
    sa.Column('time_zone', sa.String(64), nullable=False),
    sa.Column('contact_email', sa.String(254), nullable=True),
    sa.Column('created_at', sa.DateTime(timezone=True), nullable=False),
    sa.PrimaryKeyConstraint('code', name=op.f('pk_school'))
    )
    op.create_table('watershed',
    sa.Column('scheme', sa.String(16).with_variant(sa.String(16, collation="C"), "postgresql"), nullable=False),
    sa.Column('code', sa.String(16).with_variant(sa.String(16, collation="C"), "postgresql"), nullable=False),
    sa.Column('name', sa.String(120), nullable=True),
    sa.PrimaryKeyConstraint('scheme', 'code', name=op.f('pk_watershed'))
    )
    op.create_table('access_key',
    sa.Column('id', sa.Uuid(), nullable=False),
    sa.Column('role', sa.String(32), nullable=False),
    sa.Column('school', sa.String(64).with_variant(sa.String(64, collation="C"), "postgresql"), nullable=True),
    sa.Column('label', sa.String(120), nullable=False),
    sa.Column('fingerprint', sa.String(64), nullable=False),
    sa.Column('created_at', sa.DateTime(timezone=True), nullable=False),
    sa.Column('expires_on', sa.Date(), nullable=True),
    sa.Column('revoked_at', sa.DateTime(timezone=True), nullable=True),
    sa.CheckConstraint("(role = 'school') = (school IS NOT NULL)", name=op.f('ck_access_key_school_keys_name_their_school')),
    sa.CheckConstraint("role IN ('school', 'coordinator', 'reader')", name=op.f('ck_access_key_role_known')),
    sa.ForeignKeyConstraint(['school'], ['school.code'], name=op.f('fk_access_key_school')),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_access_key')),
    sa.UniqueConstraint('fingerprint', name=op.f('uq_access_key_fingerprint'))
    )
    with op.batch_alter_table('access_key', schema=None) as batch_op:
        batch_op.create_index(batch_op.f('ix_access_key_school'), ['school'], unique=False)

    op.create_table('site',
    sa.Column('code', sa.String(64).with_variant(sa.String(64, collation="C"), "postgresql"), nullable=False),
    sa.Column('name', sa.String(120), nullable=False),
    sa.Column('school', sa.String(64).with_variant(sa.String(64, collation="C"), "postgresql"), nullable=False),
    sa.Column('stream', sa.String(64).with_variant(sa.String(64, collation="C"), "postgresql"), nullable=True),
    sa.Column('stream_km', sa.Float(), nullable=True),
    sa.Column('latitude', sa.Float(), nullable=True),
    sa.Column('longitude', sa.Float(), nullable=True),
    sa.Column('public_decimals', sa.SmallInteger(), nullable=False),
    sa.Column('elevation_m', sa.Float(), nullable=True),
    sa.Column('watershed_scheme', sa.String(16).with_variant(sa.String(16, collation="C"), "postgresql"), nullable=True),
    sa.Column('watershed_code', sa.String(16).with_variant(sa.String(16, collation="C"), "postgresql"), nullable=True),
    sa.Column('water_class', sa.String(32), nullable=True),
    sa.Column('time_zone', sa.String(64), nullable=False),
    sa.Column('established_on', sa.Date(), nullable=True),
    sa.Column('created_at', sa.DateTime(timezone=True), nullable=False),
    sa.CheckConstraint('(latitude IS NULL) = (longitude IS NULL)', name=op.f('ck_site_place_whole_or_absent')),
    sa.CheckConstraint('(watershed_scheme IS NULL) = (watershed_code IS NULL)', name=op.f('ck_site_watershed_whole_or_absent')),
    sa.ForeignKeyConstraint(['school'], ['school.code'], name=op.f('fk_site_school')),
    sa.ForeignKeyConstraint(['watershed_scheme', 'watershed_code'], ['watershed.scheme', 'watershed.code'], name=op.f('fk_site_watershed_scheme_watershed_code')),
    sa.PrimaryKeyConstraint('code', name=op.f('pk_site'))
    )
    with op.batch_alter_table('site', schema=None) as batch_op:
        batch_op.create_index(batch_op.f('ix_site_school'), ['school'], unique=False)
        batch_op.create_index('ix_site_stream_order', ['stream', 'stream_km'], unique=False)
        batch_op.create_index('ix_site_watershed', ['watershed_scheme', 'watershed_code'], unique=False)

    op.create_table('visit',
    sa.Column('id', sa.Uuid(), nullable=False),
    sa.Column('site', sa.String(64).with_variant(sa.String(64, collation="C"), "postgresql"), nullable=False),
    sa.Column('school', sa.String(64).with_variant(sa.String(64, collation="C"), "postgresql"), nullable=False),
    sa.Column('revision', sa.Integer(), nullable=False),
    sa.Column('state', sa.String(32), nullable=False),
    sa.Column('observed_at', sa.DateTime(timezone=True), nullable=False),
    sa.Column('observed_on', sa.Date(), nullable=False),
    sa.Column('flag', sa.SmallInteger(), nullable=False),
    sa.CheckConstraint("state IN ('held', 'released', 'rejected', 'withdrawn')", name=op.f('ck_visit_state_known')),
    sa.CheckConstraint('flag IN (1, 2, 3, 4, 9)', name=op.f('ck_visit_flag_known')),
    sa.CheckConstraint('revision >= 1', name=op.f('ck_visit_revision_counts_from_one')),
    sa.ForeignKeyConstraint(['school'], ['school.code'], name=op.f('fk_visit_school')),
    sa.ForeignKeyConstraint(['site'], ['site.code'], name=op.f('fk_visit_site')),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_visit'))
    )
    with op.batch_alter_table('visit', schema=None) as batch_op:
        batch_op.create_index('ix_visit_date', ['observed_on', 'id'], unique=False)
        batch_op.create_index(batch_op.f('ix_visit_school'), ['school'], unique=False)
        batch_op.create_index('ix_visit_site_date', ['site', 'observed_on', 'id'], unique=False)

    op.create_table('visit_revision',
    sa.Column('visit_id', sa.Uuid(), nullable=False),
    sa.Column('revision', sa.Integer(), autoincrement=False, nullable=False),
    sa.Column('observed_at', sa.DateTime(timezone=True), nullable=False),
    sa.Column('observed_on', sa.Date(), nullable=False),
    sa.Column('utc_offset_minutes', sa.Integer(), nullable=False),
    sa.Column('team', sa.String(64).with_variant(sa.String(64, collation="C"), "postgresql"), nullable=True),
    sa.Column('conditions', sa.JSON().with_variant(JSONB(), "postgresql"), nullable=False),
    sa.Column('notes', sa.String(2000), nullable=True),
    sa.Column('catch', sa.JSON().with_variant(JSONB(), "postgresql"), nullable=True),
    sa.Column('content_hash', sa.String(64), nullable=False),
    sa.Column('key_id', sa.String(64).with_variant(sa.String(64, collation="C"), "postgresql"), nullable=True),
    sa.Column('received_at', sa.DateTime(timezone=True), nullable=False),
    sa.Column('reference_version', sa.String(16), nullable=False),
    sa.ForeignKeyConstraint(['visit_id'], ['visit.id'], name=op.f('fk_visit_revision_visit_id')),
    sa.PrimaryKeyConstraint('visit_id', 'revision', name=op.f('pk_visit_revision'))
    )
    op.create_table('derived_value',
    sa.Column('visit_id', sa.Uuid(), nullable=False),
    sa.Column('revision', sa.Integer(), autoincrement=False, nullable=False),
    sa.Column('parameter', sa.String(64).with_variant(sa.String(64, collation="C"), "postgresql"), nullable=False),
    sa.Column('value', sa.Float(), nullable=False),
    sa.Column('unit', sa.String(32), nullable=False),
    sa.Column('low', sa.Float(), nullable=True),
    sa.Column('high', sa.Float(), nullable=True),
    sa.Column('censored', sa.String(1), nullable=True),
    sa.Column('method', sa.String(64).with_variant(sa.String(64, collation="C"), "postgresql"), nullable=False),
    sa.Column('assumed', sa.JSON().with_variant(JSONB(), "postgresql"), nullable=False),
    sa.ForeignKeyConstraint(['visit_id', 'revision'], ['visit_revision.visit_id', 'visit_revision.revision'], name=op.f('fk_derived_value_visit_id_revision')),
    sa.PrimaryKeyConstraint('visit_id', 'revision', 'parameter', name=op.f('pk_derived_value'))
    )
    op.create_table('finding',
    sa.Column('visit_id', sa.Uuid(), nullable=False),
    sa.Column('revision', sa.Integer(), autoincrement=False, nullable=False),
    sa.Column('position', sa.SmallInteger(), autoincrement=False, nullable=False),
    sa.Column('check', sa.String(64).with_variant(sa.String(64, collation="C"), "postgresql"), nullable=False),
    sa.Column('version', sa.SmallInteger(), nullable=False),
    sa.Column('flag', sa.SmallInteger(), nullable=False),
    sa.Column('message', sa.String(1000), nullable=False),
    sa.Column('advice', sa.String(1000), nullable=False),
    sa.Column('evidence', sa.JSON().with_variant(JSONB(), "postgresql"), nullable=False),
    sa.Column('likely_slip', sa.JSON().with_variant(JSONB(), "postgresql"), nullable=True),
    sa.CheckConstraint('flag IN (1, 2, 3, 4, 9)', name=op.f('ck_finding_flag_known')),
    sa.ForeignKeyConstraint(['visit_id', 'revision'], ['visit_revision.visit_id', 'visit_revision.revision'], name=op.f('fk_finding_visit_id_revision')),
    sa.PrimaryKeyConstraint('visit_id', 'revision', 'position', 'check', name=op.f('pk_finding'))
    )
    op.create_table('reading',
    sa.Column('visit_id', sa.Uuid(), nullable=False),
    sa.Column('revision', sa.Integer(), autoincrement=False, nullable=False),
    sa.Column('position', sa.SmallInteger(), autoincrement=False, nullable=False),
    sa.Column('parameter', sa.String(64).with_variant(sa.String(64, collation="C"), "postgresql"), nullable=False),
    sa.Column('replicate', sa.SmallInteger(), nullable=False),
    sa.Column('unit', sa.String(32), nullable=False),
    sa.Column('value', sa.Float(), nullable=True),
    sa.Column('censored', sa.String(1), nullable=True),
    sa.Column('low', sa.Float(), nullable=True),
    sa.Column('high', sa.Float(), nullable=True),
    sa.Column('kit', sa.String(64).with_variant(sa.String(64, collation="C"), "postgresql"), nullable=True),
    sa.Column('written_value', sa.Float(), nullable=True),
    sa.Column('written_unit', sa.String(32), nullable=False),
    sa.Column('written_censored', sa.String(1), nullable=True),
    sa.Column('procedure', sa.JSON().with_variant(JSONB(), "postgresql"), nullable=False),
    sa.Column('flag', sa.SmallInteger(), nullable=False),
    sa.CheckConstraint("censored IS NULL OR censored IN ('<', '>')", name=op.f('ck_reading_censored_known')),
    sa.CheckConstraint('flag IN (1, 2, 3, 4, 9)', name=op.f('ck_reading_flag_known')),
    sa.ForeignKeyConstraint(['visit_id', 'revision'], ['visit_revision.visit_id', 'visit_revision.revision'], name=op.f('fk_reading_visit_id_revision')),
    sa.PrimaryKeyConstraint('visit_id', 'revision', 'position', name=op.f('pk_reading'))
    )
    with op.batch_alter_table('reading', schema=None) as batch_op:
        batch_op.create_index('ix_reading_parameter', ['parameter', 'visit_id'], unique=False)

    op.create_table('score',
    sa.Column('visit_id', sa.Uuid(), nullable=False),
    sa.Column('revision', sa.Integer(), autoincrement=False, nullable=False),
    sa.Column('index', sa.String(64).with_variant(sa.String(64, collation="C"), "postgresql"), nullable=False),
    sa.Column('definition', sa.SmallInteger(), autoincrement=False, nullable=False),
    sa.Column('value', sa.Float(), nullable=True),
    sa.Column('band', sa.String(32), nullable=True),
    sa.Column('standing', sa.String(32), nullable=False),
    sa.Column('low', sa.Float(), nullable=True),
    sa.Column('high', sa.Float(), nullable=True),
    sa.Column('bands', sa.JSON().with_variant(JSONB(), "postgresql"), nullable=False),
    sa.Column('reasons', sa.JSON().with_variant(JSONB(), "postgresql"), nullable=False),
    sa.Column('inputs', sa.JSON().with_variant(JSONB(), "postgresql"), nullable=False),
    sa.Column('reference_version', sa.String(16), nullable=False),
    sa.CheckConstraint("standing IN ('rated', 'provisional', 'too_few', 'empty', 'missing')", name=op.f('ck_score_standing_known')),
    sa.ForeignKeyConstraint(['visit_id', 'revision'], ['visit_revision.visit_id', 'visit_revision.revision'], name=op.f('fk_score_visit_id_revision')),
    sa.PrimaryKeyConstraint('visit_id', 'revision', 'index', 'definition', name=op.f('pk_score'))
    )
    with op.batch_alter_table('score', schema=None) as batch_op:
        batch_op.create_index('ix_score_index', ['index', 'visit_id'], unique=False)

    op.create_table('taxon_count',
    sa.Column('visit_id', sa.Uuid(), nullable=False),
    sa.Column('revision', sa.Integer(), autoincrement=False, nullable=False),
    sa.Column('position', sa.SmallInteger(), autoincrement=False, nullable=False),
    sa.Column('written_name', sa.String(120), nullable=False),
    sa.Column('taxon', sa.String(64).with_variant(sa.String(64, collation="C"), "postgresql"), nullable=True),
    sa.Column('life_stage', sa.String(16), nullable=True),
    sa.Column('count', sa.Integer(), nullable=True),
    sa.Column('abundance', sa.String(1), nullable=True),
    sa.CheckConstraint('(count IS NULL) <> (abundance IS NULL)', name=op.f('ck_taxon_count_count_or_abundance')),
    sa.CheckConstraint('count >= 0', name=op.f('ck_taxon_count_count_not_negative')),
    sa.ForeignKeyConstraint(['visit_id', 'revision'], ['visit_revision.visit_id', 'visit_revision.revision'], name=op.f('fk_taxon_count_visit_id_revision')),
    sa.PrimaryKeyConstraint('visit_id', 'revision', 'position', name=op.f('pk_taxon_count'))
    )
    with op.batch_alter_table('taxon_count', schema=None) as batch_op:
        batch_op.create_index(batch_op.f('ix_taxon_count_taxon'), ['taxon'], unique=False)



def downgrade() -> None:
    with op.batch_alter_table('taxon_count', schema=None) as batch_op:
        batch_op.drop_index(batch_op.f('ix_taxon_count_taxon'))

    op.drop_table('taxon_count')
    with op.batch_alter_table('score', schema=None) as batch_op:
        batch_op.drop_index('ix_score_index')

    op.drop_table('score')
    with op.batch_alter_table('reading', schema=None) as batch_op:
        batch_op.drop_index('ix_reading_parameter')

    op.drop_table('reading')
    op.drop_table('finding')
    op.drop_table('derived_value')
    op.drop_table('visit_revision')
    with op.batch_alter_table('visit', schema=None) as batch_op:
        batch_op.drop_index('ix_visit_site_date')
        batch_op.drop_index(batch_op.f('ix_visit_school'))
        batch_op.drop_index('ix_visit_date')

    op.drop_table('visit')
    with op.batch_alter_table('site', schema=None) as batch_op:
        batch_op.drop_index('ix_site_watershed')
        batch_op.drop_index('ix_site_stream_order')
        batch_op.drop_index(batch_op.f('ix_site_school'))

    op.drop_table('site')
    with op.batch_alter_table('access_key', schema=None) as batch_op:
        batch_op.drop_index(batch_op.f('ix_access_key_school'))

    op.drop_table('access_key')
    op.drop_table('watershed')
    op.drop_table('school')
    op.drop_table('kit')
    op.drop_table('change_counter')
    op.drop_table('change')
