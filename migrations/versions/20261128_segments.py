"""What the catalogue knows of segments and fitting crosses, and what an inspection measures of them.

Only new columns that may hold nothing; going down again is refused where the earlier form has no place for what they
hold.
"""

from __future__ import annotations

from collections.abc import Mapping

import sqlalchemy as sa
from alembic import op

revision = "20261128_segments"
down_revision = "20261128_own_lenses"
branch_labels = None
depends_on = None

SHAPES = "'flat top', 'curved top', 'round', 'full width'"
NEW: Mapping[str, Mapping[str, tuple[str, str]]] = {
    "lens": {
        "segment_shape": ("known", f"segment_shape IN ({SHAPES})"),
        "segment_width": ("positive", "segment_width > 0"),
        "intermediate_depth": ("positive", "intermediate_depth > 0"),
        "fitting_in": ("", ""),
        "fitting_up": ("", ""),
        "distance_up": ("not_negative", "distance_up >= 0"),
        "max_fitting_height": ("", ""),
        "thinning_prism": ("flag", "thinning_prism IN (0, 1)"),
    },
    "inspection": {"thinning": ("range", "thinning BETWEEN -10000000 AND 10000000")},
    "inspection_reading": {
        "near_pd": ("range", "near_pd BETWEEN 10000 AND 45000"),
        "tilt": ("range", "tilt BETWEEN -4500 AND 4500"),
        "segment_width": ("range", "segment_width BETWEEN 500 AND 6000"),
    },
}
"""For each new column of a table what its rule is called, and the rule."""
TEXTS = {"segment_shape"}


def upgrade() -> None:
    for table, columns in NEW.items():
        if op.get_bind().dialect.name == "sqlite":
            _make_anew(table, _with_more(table, columns))
            continue
        for name, (called, rule) in columns.items():
            op.add_column(table, sa.Column(name, sa.Text() if name in TEXTS else sa.Integer(), nullable=True))
            if rule:
                op.create_check_constraint(op.f(_rule(table, name, called)), table, rule)


def downgrade() -> None:
    bind = op.get_bind()
    for table, columns in NEW.items():
        filled = " OR ".join(f"{name} IS NOT NULL" for name in columns)
        if bind.execute(sa.text(f"SELECT COUNT(*) FROM {table} WHERE {filled}")).scalar_one():  # noqa: S608 - names above
            message = f"the earlier form has no place for segments in the rows of {table}; nothing was changed"
            raise RuntimeError(message)
    for table, columns in NEW.items():
        if bind.dialect.name == "sqlite":
            _make_anew(table, _with_less(table, columns))
            continue
        for name in columns:
            op.drop_column(table, name)


def _rule(table: str, name: str, called: str) -> str:
    return f"ck_{table}_{name}_{called}"


def _with_more(table: str, columns: Mapping[str, tuple[str, str]]) -> str:
    """Give the statement that made a table, with the new columns and their rules."""
    told = [f"\t{name} {'TEXT' if name in TEXTS else 'INTEGER'}, \n" for name in columns]
    told += [
        f"\tCONSTRAINT {_rule(table, name, called)} CHECK ({rule}), \n"
        for name, (called, rule) in columns.items()
        if rule
    ]
    return _statement(table).replace("\tCONSTRAINT", f"{''.join(told)}\tCONSTRAINT", 1)


def _with_less(table: str, columns: Mapping[str, tuple[str, str]]) -> str:
    """Give the statement that made a table, without those columns and their rules."""
    gone = {f"\t{name} " for name in columns}
    gone |= {f"\tCONSTRAINT {_rule(table, name, called)} " for name, (called, _) in columns.items()}
    lines = _statement(table).splitlines()
    return "\n".join(line for line in lines if not any(line.startswith(each) for each in gone))


def _statement(table: str) -> str:
    asked = sa.text("SELECT sql FROM sqlite_schema WHERE type = 'table' AND name = :table")
    return str(op.get_bind().execute(asked, {"table": table}).scalar_one())


def _make_anew(table: str, statement: str) -> None:
    """Put the rows aside, make the table by a statement, with its indexes, and put them back.

    Foreign keys are off meanwhile; the store sets the guards again and looks for rows that point at nothing.
    """
    bind = op.get_bind()
    indexes = sa.text("SELECT sql FROM sqlite_schema WHERE type = 'index' AND tbl_name = :table AND sql IS NOT NULL")
    made = [row.sql for row in bind.execute(indexes, {"table": table}).all()]
    op.execute(f"CREATE TABLE kept_{table} AS SELECT * FROM {table}")  # noqa: S608 - names above
    op.drop_table(table)
    for each in (statement, *made):
        bind.exec_driver_sql(each)
    both = {each["name"] for each in sa.inspect(bind).get_columns(table)}
    kept = [each["name"] for each in sa.inspect(bind).get_columns(f"kept_{table}") if each["name"] in both]
    names = ", ".join(kept)
    op.execute(f"INSERT INTO {table} ({names}) SELECT {names} FROM kept_{table}")  # noqa: S608 - names of the tables
    op.drop_table(f"kept_{table}")
