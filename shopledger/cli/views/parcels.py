"""Parcels, shown: one with what lies in it, and several in a row."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from shopledger.cli.output import Column, Fields, Json, Table
from shopledger.cli.views.figures import day
from shopledger.cli.views.orders import OUT
from shopledger.ledger.parcels import Parcel

if TYPE_CHECKING:
    from shopledger.desk.parcels import ParcelCard


def parcel_data(card: ParcelCard) -> dict[str, Json]:
    """Give a parcel as JSON."""
    contents: list[Json] = [*card.contents]
    return {**OUT.of(card.parcel), "customer_name": card.customer, "contents": contents, "sent_again": card.sent_again}


def parcel_fields(card: ParcelCard) -> Fields:
    """Give a parcel for reading."""
    parcel = card.parcel
    rows = (
        ("order", str(parcel.order_number)),
        ("day", day(parcel.day)),
        ("to", ", ".join((card.customer, *parcel.ship_to.lines))),
        ("carrier", f"{parcel.carrier} {parcel.tracking}".strip()),
        ("contents", "\n".join(card.contents)),
        ("again what came back in", f"parcel {parcel.again_of}" if parcel.again_of else ""),
        ("came back", f"{day(parcel.came_back.day)}: {parcel.came_back.reason}" if parcel.came_back else ""),
        ("sent again", f"parcel {card.sent_again}" if card.sent_again else ""),
    )
    return Fields(f"Parcel {parcel.number}", rows)


def parcels_table(parcels: Sequence[Parcel]) -> Table:
    """Give several parcels for reading."""
    columns = (
        Column("parcel", right=True),
        Column("order", right=True),
        Column("day", whole=True),
        Column("carrier"),
        Column("tracking"),
        Column("jobs"),
        Column("came back", whole=True),
    )
    rows = [
        (
            str(each.number),
            str(each.order_number),
            day(each.day),
            each.carrier,
            each.tracking,
            ", ".join(map(str, each.jobs)),
            day(each.came_back.day) if each.came_back else "",
        )
        for each in parcels
    ]
    return Table("Parcels", columns, rows, "none left yet.")
