"""Inspections: figures and verdicts of finished jobs, proofs of impact resistance, remakes, and omitted inspections.

Only new tables; what was there stays. Going down again is refused where the earlier form has no place for what was
posted since.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeAlias

import sqlalchemy as sa
from alembic import op

revision = "20261125_inspections"
down_revision = "20261125_claims_and_refunds"
branch_labels = None
depends_on = None

Part: TypeAlias = "sa.Column[int] | sa.Column[str] | sa.Constraint"
TABLES = ("inspection_omission", "remake", "impact_record", "inspection_verdict", "inspection_reading", "inspection")
COUNTERS = ("inspection", "impact record", "remake")
CHECKLIST = ("bench_right", "temples_right", "hinges_right", "seating_right")
SIDES = ("right", "left")
PD_GIVEN = ("binocular", "monocular")
BASES = ("in", "out", "up", "down")


def upgrade() -> None:
    _inspection()
    _reading()
    _verdict()
    _beside()
    counter = sa.table("counter", sa.column("name"), sa.column("last"))
    op.bulk_insert(counter, [{"name": name, "last": 0} for name in COUNTERS])


def downgrade() -> None:
    for table in TABLES:
        if op.get_bind().execute(sa.text(f"SELECT COUNT(*) FROM {table}")).scalar_one():  # noqa: S608 - names above
            message = f"the earlier form has no place for the rows of {table}; nothing was changed"
            raise RuntimeError(message)
    for table in TABLES:
        op.drop_table(table)
    for name in COUNTERS:
        op.execute(f"DELETE FROM counter WHERE name = '{name}'")  # noqa: S608 - names above


def _inspection() -> None:
    table = "inspection"
    _table(
        table,
        *map(_whole, ("number", "job_number")),
        *map(_words, ("day", "design", "standard", "edition", "ordered_pd_given", "pd_given")),
        *map(_whole, CHECKLIST),
        *map(_words, ("sheet_name", "sheet_sha256", "accepted")),
        _whole("passed"),
        _words("note"),
        *_recorded(),
        _key(table, "number"),
        *_known(
            table, design=("single vision", "multifocal", "progressive"), ordered_pd_given=PD_GIVEN, pd_given=PD_GIVEN
        ),
        *_flags(table, *CHECKLIST, "passed"),
        *_checks(
            table,
            standard_filled="standard <> ''",
            edition_filled="edition <> ''",
            sheet_whole="sheet_sha256 = '' OR length(sheet_sha256) = 64",
            day_is_day="day LIKE '____-__-__'",
        ),
        _refers(table, ["job_number"], "order_pair", ["job_number"]),
    )
    _index(table, "job_number")


def _reading() -> None:
    table = "inspection_reading"
    _table(
        table,
        _whole("inspection_number"),
        *map(_words, ("figures", "side")),
        *map(_whole, ("sphere", "cylinder")),
        *(_whole(name, empty=True) for name in ("axis", "add_power")),
        _whole("balance"),
        _whole("prism_1", empty=True),
        _words("base_1", empty=True),
        _whole("prism_2", empty=True),
        _words("base_2", empty=True),
        *(
            _whole(name, empty=True)
            for name in ("mono_pd", "fitting_height", "centre_thickness", "base_curve", "marks_seen")
        ),
        _key(table, "inspection_number", "figures", "side"),
        *_known(table, side=SIDES, figures=("ordered", "compensated", "read"), base_1=BASES, base_2=BASES),
        *_flags(table, "balance", "marks_seen"),
        *_checks(
            table,
            axis_range="axis > 0 AND axis <= 180000000",
            prism_1_whole="(prism_1 IS NULL) = (base_1 IS NULL)",
            prism_2_whole="(prism_2 IS NULL) = (base_2 IS NULL)",
            mono_pd_range="mono_pd BETWEEN 20000 AND 40000",
            fitting_height_range="fitting_height BETWEEN 5000 AND 50000",
            centre_thickness_range="centre_thickness BETWEEN 50 AND 3000",
            base_curve_range="base_curve BETWEEN 0 AND 2000",
        ),
        _refers(table, ["inspection_number"], "inspection", ["number"]),
    )


def _verdict() -> None:
    table = "inspection_verdict"
    filled = ("quantity", "lens", "unit", "rule", "source")
    _table(
        table,
        *map(_whole, ("inspection_number", "position")),
        *map(_words, ("quantity", "lens")),
        *map(_whole, ("ordered", "measured", "difference", "allowed")),
        *map(_words, ("unit", "rule", "source")),
        _whole("passed"),
        _words("or_else"),
        _key(table, "inspection_number", "position"),
        *_flags(table, "passed"),
        *_checks(table, position_counts="position >= 1", **{f"{name}_filled": f"{name} <> ''" for name in filled}),
        _refers(table, ["inspection_number"], "inspection", ["number"]),
    )


def _beside() -> None:
    """Make what is recorded beside inspections: proofs, remakes, omissions."""
    _table(
        "impact_record",
        *map(_whole, ("number", "job_number")),
        *map(_words, ("day", "proof", "reference", "note")),
        *_recorded(),
        _key("impact_record", "number"),
        *_known("impact_record", proof=("certificate", "exception")),
        *_checks("impact_record", reference_filled="reference <> ''", day_is_day="day LIKE '____-__-__'"),
        _refers("impact_record", ["job_number"], "order_pair", ["job_number"]),
    )
    _index("impact_record", "job_number")
    _table(
        "remake",
        *map(_whole, ("number", "job_number")),
        *map(_words, ("day", "reason")),
        _cents("cost"),
        _words("scrap"),
        _whole("follows", empty=True),
        *_recorded(),
        _key("remake", "number"),
        *_known("remake", scrap=("both", "right", "left", "none")),
        *_checks(
            "remake", cost_not_negative="cost >= 0", reason_filled="reason <> ''", day_is_day="day LIKE '____-__-__'"
        ),
        _refers("remake", ["job_number"], "order_pair", ["job_number"]),
        _refers("remake", ["follows"], "inspection", ["number"]),
    )
    _index("remake", "job_number")
    _index("remake", "day")
    _table(
        "inspection_omission",
        _whole("job_number"),
        _words("reason"),
        *_recorded(),
        _key("inspection_omission", "job_number"),
        *_checks("inspection_omission", reason_filled="reason <> ''"),
        _refers("inspection_omission", ["job_number"], "order_pair", ["job_number"]),
    )


def _table(name: str, *parts: Part) -> None:
    op.create_table(name, *parts, sqlite_strict=True)


def _index(table: str, *columns: str) -> None:
    op.create_index(op.f(f"ix_{table}_{'_'.join(columns)}"), table, list(columns))


def _whole(name: str, *, empty: bool = False) -> sa.Column[int]:
    return sa.Column(name, sa.Integer(), nullable=empty, autoincrement=False)


def _cents(name: str) -> sa.Column[int]:
    return sa.Column(name, sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False)


def _words(name: str, *, empty: bool = False) -> sa.Column[str]:
    return sa.Column(name, sa.Text(), nullable=empty)


def _recorded() -> tuple[sa.Column[str], sa.Column[str]]:
    return _words("operator"), _words("recorded_at")


def _key(table: str, *columns: str) -> sa.PrimaryKeyConstraint:
    return sa.PrimaryKeyConstraint(*columns, name=op.f(f"pk_{table}"))


def _refers(table: str, columns: Sequence[str], other: str, keys: Sequence[str]) -> sa.ForeignKeyConstraint:
    name = op.f(f"fk_{table}_{'_'.join(columns)}_{other}")
    return sa.ForeignKeyConstraint(columns, [f"{other}.{key}" for key in keys], name=name, ondelete="RESTRICT")


def _checks(table: str, **rules: str) -> tuple[sa.CheckConstraint, ...]:
    return tuple(sa.CheckConstraint(rule, name=op.f(f"ck_{table}_{name}")) for name, rule in rules.items())


def _flags(table: str, *columns: str) -> tuple[sa.CheckConstraint, ...]:
    return _checks(table, **{f"{name}_flag": f"{name} IN (0, 1)" for name in columns})


def _known(table: str, **columns: Sequence[str]) -> tuple[sa.CheckConstraint, ...]:
    rules = {f"{name}_known": f"{name} IN ({', '.join(map(repr, words))})" for name, words in columns.items()}
    return _checks(table, **rules)
