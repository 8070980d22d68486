"""Months open and closed, shown."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopledger.cli.output import Column, Fields, Json, Table
from shopledger.cli.views.figures import money
from shopledger.money.amount import write_amount

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopledger.ledger.books.periods import MonthState, PeriodEvent


def event_data(event: PeriodEvent) -> dict[str, Json]:
    """Give what was done to a month as JSON."""
    return {
        "month": str(event.month),
        "deed": event.deed.value,
        "reason": event.reason,
        "accepted": list(event.accepted),
        "entries": event.head.count,
        "head": str(event.head),
        "operator": event.operator,
        "recorded_at": event.recorded_at,
    }


def event_fields(event: PeriodEvent) -> Fields:
    """Give what was done to a month for reading."""
    rows = (
        ("by", event.operator),
        ("reason", event.reason),
        ("accepted", ", ".join(event.accepted)),
        ("ledger head", str(event.head)),
    )
    return Fields(f"Month {event.month} {event.deed.value}", rows)


def state_data(state: MonthState) -> dict[str, Json]:
    """Give how a month stands as JSON."""
    return {
        "month": str(state.month),
        "closed": state.closed,
        "entries": state.entries,
        "net_sales": money(state.net_sales),
        "last": None if state.event is None else event_data(state.event),
    }


def state_table(states: Sequence[MonthState]) -> Table:
    """Give the months in a table, oldest first."""
    columns = (
        Column("Month", whole=True),
        Column("State", whole=True),
        Column("Entries", right=True),
        Column("Net sales", right=True),
        Column("Head", whole=True),
        Column("Note"),
    )
    return Table("Months", columns, [_row(state) for state in states])


def _row(state: MonthState) -> tuple[str, ...]:
    event = state.event
    head = str(event.head) if event is not None and state.closed else ""
    note = "" if event is None else event.reason or " ".join(event.accepted)
    word = "closed" if state.closed else "open"
    return (str(state.month), word, str(state.entries), write_amount(state.net_sales), head, note)
