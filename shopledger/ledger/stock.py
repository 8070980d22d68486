"""Stock as movements: what came, what went, what was counted; what is on hand, and what it cost, is their sum.

Goods that are sold are reserved on the shelf until their order is shipped: only then do they leave.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from enum import Enum
from types import MappingProxyType
from typing import Final, Self

from shopledger.errors import LedgerError, RefusedError
from shopledger.ledger.books.completeness import LACKING, WithAccount, check_members
from shopledger.ledger.books.journal import Account
from shopledger.ledger.offers import LineKind
from shopledger.money.amount import Cents, write_amount


class StockedKind(Enum):
    """What is kept in stock."""

    FRAME = "frame"
    ACCESSORY = "accessory"


STOCKED: Final[Mapping[LineKind, StockedKind]] = MappingProxyType(
    {
        LineKind.FRAME: StockedKind.FRAME,
        LineKind.ACCESSORY: StockedKind.ACCESSORY,
    }
)
"""The kinds of order line that take goods out of stock; lenses are ordered for each job."""


class StockColumn(Enum):
    """Under which heading a movement counts where an item's stock is rolled forward over a month or a year."""

    CAME = "came"
    WENT = "went"
    ADJUSTED = "adjusted"


class StockReason(WithAccount):
    """Why stock moved: the word, the account that inventory is set against, and the column of the roll-forward.

    Goods that were received stand on their bill's entry; only those of which no bill is known stand against the opening
    balances.
    """

    column: StockColumn

    OPENING = "opening", Account.OPENING_BALANCES, StockColumn.CAME
    RECEIVED = "received", Account.OPENING_BALANCES, StockColumn.CAME
    SOLD = "sold", Account.COST_OF_GOODS, StockColumn.WENT
    """Shipped with an order."""
    RETURNED = "returned", Account.COST_OF_GOODS, StockColumn.CAME
    """Back from a customer."""
    ADJUSTED = "adjusted", Account.STOCK_DIFFERENCES, StockColumn.ADJUSTED
    """The difference found at a count."""
    WRITTEN_OFF = "written off", Account.WRITTEN_OFF, StockColumn.ADJUSTED
    GIVEN = "given away", Account.SAMPLES, StockColumn.WENT
    """A gift or a sample."""
    OWN_USE = "own use", Account.DRAWS, StockColumn.WENT
    """Taken home by the owner: no expense of the shop's."""
    SENT_BACK = "sent back", Account.ACCOUNTS_PAYABLE, StockColumn.WENT
    """Back to the supplier."""
    REPRICED = "repriced", Account.ACCOUNTS_PAYABLE, StockColumn.ADJUSTED
    """Nothing moved: what is on the shelf of a lot costs less, or more, by what its supplier took off or charged."""

    def __new__(cls, word: str, account: Account = LACKING, column: StockColumn = LACKING) -> Self:
        """Make a member known by its word alone."""
        member = object.__new__(cls)
        member._value_, member.account, member.column = word, account, column
        return member


class FirstGoods(Enum):
    """What the first goods of an item are that nobody billed: where they came from decides what they are in the books.

    Goods that the owner had before the books began are his own money in the shop, and no income; what turns up makes
    the goods sold cheaper, as any difference found at a count does; what was bought stands on its bill.
    """

    OPENING = "opening"
    FOUND = "found"
    BOUGHT = "bought"

    def reason(self, code: str) -> StockReason:
        """Give why they move; what was bought is received with its cost instead."""
        if self is FirstGoods.BOUGHT:
            raise RefusedError(
                f"first goods of {code}",
                "bought",
                "what was bought comes in with what it cost",
                f"Use 'shopledger stock receive {code} --quantity N --unit-cost AMOUNT'.",
            )
        return StockReason.OPENING if self is FirstGoods.OPENING else StockReason.ADJUSTED


class FirstGoodsError(LedgerError):
    """The first goods of an item are counted in, and nobody has said where they come from."""

    item_code: str
    sentence = (
        "No {item_code} ever came in. Say what these are: --as opening (there before the books began, so no income), "
        "--as found, or --as bought."
    )


check_members(
    StockReason, column="give it a column of the roll-forward beside its account in shopledger/ledger/stock.py"
)


class OutOfStockError(LedgerError):
    """More asked for than is on hand."""

    item_code: str
    asked: int
    on_hand: int
    sentence = (
        "{item_code}: {asked} asked for, {on_hand} on hand and not reserved for other orders. "
        "Record what came in with 'shopledger stock receive {item_code}', or sell fewer."
    )


class NotThereYetError(LedgerError):
    """Goods are to leave on a day before they came in, or that are gone already by a later day."""

    item_code: str
    asked: int
    there: int
    day: date
    sentence = (
        "{item_code}: {asked} to leave on {day}, but only {there} could have left on that day: "
        "the rest came in later, or left since. Type a later day, or look at 'shopledger stock history {item_code}'."
    )


class GoodsShortError(LedgerError):
    """An order cannot be shipped, since fewer of its goods lie there than it needs."""

    order_number: int
    short: tuple[tuple[str, int, int], ...]

    def __str__(self) -> str:
        said = "; ".join(f"{code}: {needed} needed, {there} on hand" for code, needed, there in self.short)
        receive = f"'shopledger stock receive {self.short[0][0]}'"
        return (
            f"order {self.order_number} cannot be shipped, and nothing was stored: {said}. Record what came in with "
            f"{receive}, or take the order back with 'shopledger sale cancel {self.order_number}'."
        )


@dataclass(frozen=True, slots=True)
class StockMovement:
    """One movement: quantity and whole cost are positive in, negative out."""

    day: date
    kind: StockedKind
    item_code: str
    quantity: int
    cost: Cents
    reason: StockReason
    order_number: int | None = None
    job_number: int | None = None
    bill_number: int | None = None
    note: str = ""
    parcel_number: int | None = None
    """The parcel in which it left or came back; goods of before parcels were known have none."""
    number: int | None = None

    def __post_init__(self) -> None:
        """Refuse a movement of nothing, and a cost that goes the other way."""
        if self.reason is StockReason.REPRICED:
            return
        if self.quantity == 0:
            raise RefusedError("quantity", 0, "a movement moves something", "Type how many came or went.")
        if self.cost * self.quantity < 0:
            raise RefusedError("cost", write_amount(self.cost), "it may not be negative", "Type 0 or more.")
