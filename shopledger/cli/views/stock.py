"""The stock, shown: what is on hand and free, its worth, its movements, what to reorder, how long it lies there."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from shopledger.cli.output import Column, Fields, Json, Table
from shopledger.cli.views.figures import Outside, day, money
from shopledger.desk.books.shelf import OF_LATE, Moved, StockWorth
from shopledger.desk.books.stocking import Counted, Left
from shopledger.ledger.books.stock_values import BANDS, AgedItem, ItemStock, ItemValue, LotLeft, LowItem
from shopledger.ledger.canonical import Shape
from shopledger.ledger.stock import StockMovement
from shopledger.money.amount import write_amount

CODE: Final = Column("code", whole=True)
DAY: Final = Column("day", whole=True)
KIND: Final = Column("kind")
WHAT: Final = Column("what")


OUT = Outside(
    {
        ItemStock: Shape(
            first=("kind", "item_code", "description", "on_hand", "reserved", "free"), renamed={"reserved": "set_aside"}
        ),
        StockMovement: Shape(
            first=("number", "day", "reason"), renamed={"number": "movement"}, left_out={"kind", "item_code"}
        ),
        ItemValue: Shape(last=("quantity", "cost", "lots"), renamed={"quantity": "on_hand"}),
        LotLeft: Shape(renamed={"number": "lot", "quantity": "on_hand"}, left_out={"kind", "item_code"}),
    }
)


def worth_data(worth: StockWorth, *, lots: bool) -> dict[str, Json]:
    """Give what the stock was worth as JSON, lot by lot where asked for."""
    return {
        "day": day(worth.day),
        "items": [{key: value for key, value in OUT.of(item).items() if lots or key != "lots"} for item in worth.items],
        "total": money(worth.total),
        "inventory_account": money(worth.booked),
    }


def moved_data(moved: Moved) -> dict[str, Json]:
    """Give one movement as JSON, with what was on hand after it."""
    return {**OUT.of(moved.movement), "on_hand": moved.on_hand, "value": money(moved.value)}


def low_data(low: LowItem) -> dict[str, Json]:
    """Give an item to reorder as JSON."""
    return {**OUT.of(low.item), "last_sold": day(low.last_sold) or None, f"sold_in_{OF_LATE}_days": low.sold}


def aged_data(items: Sequence[AgedItem]) -> list[Json]:
    """Give each item's goods by age as JSON."""
    return [
        {
            "kind": each.kind.value,
            "code": each.item_code,
            "description": each.description,
            "bands": [
                {"days": band, "on_hand": count, "cost": money(cost)}
                for band, count, cost in zip(BANDS, each.counts, each.costs, strict=True)
            ],
        }
        for each in items
    ]


def left_data(left: Left) -> dict[str, Json]:
    """Give what left the shelf as JSON."""
    level = left.level
    return {
        "code": level.item_code,
        **OUT.of(left.movement),
        "on_hand": level.on_hand,
        "set_aside": level.reserved,
        "free": level.free,
    }


def counted_data(counted: Counted) -> dict[str, Json]:
    """Give what a count found as JSON."""
    level = counted.level
    return {
        "code": level.item_code,
        "on_hand": level.on_hand,
        "difference": counted.difference,
        "cost": money(counted.cost),
    }


def stock_table(items: Sequence[ItemStock]) -> Table:
    """Give what is on hand for reading."""
    columns = (CODE, WHAT, *_right("on hand", "reserved", "free", "last cost", "value"))
    rows = [
        (
            each.item_code,
            each.description,
            *map(str, (each.on_hand, each.reserved, each.free)),
            write_amount(each.last_cost),
            write_amount(each.value),
        )
        for each in items
    ]
    return Table("Stock", columns, rows, "nothing is kept in stock yet.")


def worth_tables(worth: StockWorth, *, lots: bool) -> tuple[Table | Fields, ...]:
    """Give what the stock was worth for reading."""
    title = f"Stock at the end of {day(worth.day)}"
    if lots:
        columns = (CODE, Column("lot", right=True), DAY, Column("how"), *_right("on hand", "cost"))
        rows: list[tuple[str, ...]] = [_lot_row(lot) for item in worth.items for lot in item.lots]
    else:
        columns = (CODE, WHAT, *_right("on hand", "cost"))
        rows = [(each.item_code, each.description, str(each.quantity), write_amount(each.cost)) for each in worth.items]
    total = Fields(
        "",
        (
            ("together", write_amount(worth.total)),
            ("inventory account", write_amount(worth.booked)),
            ("difference", write_amount(worth.total - worth.booked) if worth.total != worth.booked else ""),
        ),
    )
    return Table(title, columns, rows, "nothing was on hand."), total


def history_table(code: str, moved: Sequence[Moved]) -> Table:
    """Give an item's movements for reading."""
    columns = (DAY, Column("why"), *_right("count", "cost", "on hand", "value"), Column("of"))
    rows = [
        (
            day(each.movement.day),
            each.movement.reason.value,
            f"{each.movement.quantity:+d}",
            write_amount(each.movement.cost),
            str(each.on_hand),
            write_amount(each.value),
            _document(each.movement),
        )
        for each in moved
    ]
    return Table(code, columns, rows, "never moved.")


def low_table(low: Sequence[LowItem], below: int) -> Table:
    """Give what to reorder for reading."""
    columns = (
        CODE,
        WHAT,
        *_right("free", f"sold, {OF_LATE} days"),
        Column("last sold", whole=True),
    )
    rows = [
        (
            each.item.item_code,
            each.item.description,
            *map(str, (each.item.free, each.sold)),
            day(each.last_sold),
        )
        for each in low
    ]
    return Table(f"To reorder: {below} free or fewer", columns, rows, "nothing.")


def aged_table(items: Sequence[AgedItem]) -> Table:
    """Give each item's goods by age for reading: what they cost, and the sum of each band."""
    rows = [(each.item_code, *map(write_amount, each.costs)) for each in items]
    if items:
        rows.append(("together", *(write_amount(sum(costs)) for costs in zip(*(i.costs for i in items), strict=True))))
    return Table("What goods cost, by the days they have lain", (CODE, *_right(*BANDS)), rows, "nothing is on hand.")


def left_fields(left: Left) -> Fields:
    """Give what left the shelf for reading."""
    movement = left.movement
    rows = (
        (movement.reason.value, f"{-movement.quantity} on {day(movement.day)}"),
        ("at cost", write_amount(-movement.cost)),
        ("on hand", f"{left.level.on_hand}, of which {left.level.free} free"),
    )
    return Fields(movement.item_code, rows)


def _lot_row(lot: LotLeft) -> tuple[str, ...]:
    how = lot.reason.value if lot.bill_number is None else f"bill {lot.bill_number}"
    return (lot.item_code, str(lot.number), day(lot.day), how, str(lot.quantity), write_amount(lot.cost))


def _document(movement: StockMovement) -> str:
    words = [
        f"order {movement.order_number}" if movement.order_number else "",
        f"job {movement.job_number}" if movement.job_number else "",
        f"bill {movement.bill_number}" if movement.bill_number else "",
        movement.note,
    ]
    return ", ".join(word for word in words if word)


def _right(*headings: str) -> tuple[Column, ...]:
    return tuple(Column(heading, right=True) for heading in headings)
