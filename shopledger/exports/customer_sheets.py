"""The sheets about customers: sales, payments, refunds, money back, sales tax, deposits; and the year's lists."""

from __future__ import annotations

from typing import Final

from shopledger.exports.sheets import Column, Kind, Sheet
from shopledger.ledger.books.customer_rows import (
    CardDayRow,
    CustomerRow,
    DepositRow,
    MoneyBackRow,
    PaymentRow,
    RefundRow,
    SalesRow,
    TaxRow,
)
from shopledger.ledger.nexus import NexusRow

SALES: Final = Sheet(
    SalesRow,
    "Sales lines",
    "SalesLines",
    (
        Column("Date", lambda row: row.day, "Day on which the goods left, or did not count any longer.", 11.5,
               Kind.DAY),
        Column("Order", lambda row: row.order_number, "Number of the order.", 7.5, Kind.NUMBER),
        Column("Event", lambda row: row.event.value,
               "Sold or added; below zero: taken out, came back, cancelled, or put off until it leaves.", 10.5),
        Column("Customer", lambda row: row.customer, "Who ordered and pays.", 20),
        Column("State", lambda row: row.state, "State the order was shipped to.", 7),
        Column("Kind", lambda row: row.kind, "Frame, lenses, extra, accessory or shipping.", 10.5),
        Column("Item", lambda row: row.item_code, "The shop's own code.", 12.5),
        Column("Description", lambda row: row.description, "As it stands on the order.", 34),
        Column("Count", lambda row: row.quantity, "How many; lenses are counted in pairs.", 7, Kind.COUNT),
        Column("List price", lambda row: row.list_price, "Price before offers.", 11, Kind.MONEY, total=True),
        Column("Reduction", lambda row: row.reduction, "What an offer took off.", 11.5, Kind.MONEY, total=True),
        Column("Net", lambda row: row.net, "List price less reduction, before tax.", 11, Kind.MONEY, total=True),
        Column("Tax category", lambda row: row.tax_category, "What the line is for the sales tax.", 20),
        Column("Tax", lambda row: row.tax, "Sales tax charged on the line.", 9, Kind.MONEY, total=True),
    ),
    landscape=True,
    keys=("Event", "Kind", "Date"),
)  # fmt: skip

REFUNDS: Final = Sheet(
    RefundRow,
    "Refunds",
    "RefundLines",
    (
        Column("Date", lambda row: row.day, "Day of the refund or correction.", 11.5, Kind.DAY),
        Column("Order", lambda row: row.order_number, "Number of the order.", 7.5, Kind.NUMBER),
        Column("Customer", lambda row: row.customer, "Whose order it is.", 19),
        Column("State", lambda row: row.state, "State the order was shipped to.", 7),
        Column("Kind", lambda row: row.kind, "Frame, lenses, extra, accessory or shipping.", 10.5),
        Column("Description", lambda row: row.description, "The line, as it stands on the order.", 31),
        Column("Tax category", lambda row: row.tax_category, "What the line is for the sales tax.", 20),
        Column("Net", lambda row: row.net,
               "Given up of what counted as sold; what is given back before the goods left was never a sale.", 11,
               Kind.MONEY, total=True),
        Column("Tax", lambda row: row.tax, "Sales tax given up with it.", 9, Kind.MONEY, total=True),
        Column("Given back", lambda row: row.net + row.tax, "Net and tax together.", 11, Kind.MONEY, total=True),
        Column("Method", lambda row: row.method, "Card, cash, check or transfer; empty without money.", 10),
        Column("Goods", lambda row: row.returned, "How many came back into stock.", 8, Kind.COUNT, total=True),
        Column("Reason", lambda row: row.reason, "As the owner gave it.", 23),
        Column("Cause", lambda row: row.cause.value,
               "A refund; or without money: reduced or exchanged; or taken up again with what counts no longer.", 11),
    ),
    landscape=True,
    keys=("Cause", "Kind", "Date"),
)  # fmt: skip

PAYMENTS: Final = Sheet(
    PaymentRow,
    "Payments",
    "PaymentsIn",
    (
        Column("Date", lambda row: row.day, "Day of the payment, or of what became of it.", 11.5, Kind.DAY),
        Column("Order", lambda row: row.order_number, "Number of the order it is for.", 9, Kind.NUMBER),
        Column("Event", lambda row: row.event.value,
               "Paid or moved here; or, below zero, sent back by the bank, disputed, a mistake or moved away.",
               22),
        Column("Customer", lambda row: row.customer, "Who paid.", 26),
        Column("Method", lambda row: row.method, "Card, cash, check or transfer; of a deposit, how that was paid.", 10),
        Column("Reference", lambda row: row.reference, "Last digits of a card, or a check's number.", 13),
        Column("Amount", lambda row: row.amount, "What the order was paid; below zero what stands no longer.", 12,
               Kind.MONEY, total=True),
        Column("From deposit", lambda row: row.from_deposit, "What of it came in earlier, as a deposit.", 11.5,
               Kind.MONEY, total=True),
        Column("Tax in it", lambda row: row.tax,
               "Its share of the order's sales tax laid on the buyer; all payments of an order carry exactly its tax.",
               10, Kind.MONEY, total=True),
        Column("Seller tax in it", lambda row: row.sellers_tax, "The same of sales tax laid on the seller.", 12,
               Kind.MONEY, total=True),
    ),
    landscape=True,
    keys=("Method",),
)  # fmt: skip

MONEY_BACK: Final = Sheet(
    MoneyBackRow,
    "Money back",
    "MoneyBack",
    (
        Column("Date", lambda row: row.day, "Day of the refund or of the cancellation.", 11.5, Kind.DAY),
        Column("Order", lambda row: row.order_number, "Number of the order it was paid on.", 9, Kind.NUMBER),
        Column("Customer", lambda row: row.customer, "Who got it.", 24),
        Column("Cause", lambda row: row.cause.value, "A refund, or the cancellation of the whole order.", 12.5),
        Column("Method", lambda row: row.method, "Card, cash, check or transfer.", 10),
        Column("Reference", lambda row: row.reference, "Last digits of a card, or a check's number.", 13),
        Column("Amount", lambda row: row.amount, "Money given back.", 12, Kind.MONEY, total=True),
        Column("To deposit", lambda row: row.to_deposit, "What became a deposit again.", 11, Kind.MONEY, total=True),
        Column("Tax in it", lambda row: row.tax, "Sales tax laid on the buyer, in both.", 10, Kind.MONEY, total=True),
        Column("Seller tax in it", lambda row: row.sellers_tax, "Sales tax laid on the seller, in both.", 12,
               Kind.MONEY, total=True),
    ),
    keys=("Cause", "Method"),
)  # fmt: skip

TAX: Final = Sheet(
    TaxRow,
    "Tax by state",
    "TaxByState",
    (
        Column("State", lambda row: row.state, "State the orders were shipped to.", 7),
        Column("Tax category", lambda row: row.category, "What the lines are for the sales tax.", 20),
        Column("Rate", lambda row: row.rate_millionths, "Rate on the orders, as the owner had set it.", 10, Kind.RATE),
        Column("Imposed on", lambda row: row.imposed_on,
               "The buyer: collected for the state. The seller: part of the gross receipts, and an expense.", 11.5),
        Column("Exempt reason", lambda row: row.exempt_reason, "Why none is charged, as the owner gave it.", 20),
        Column("Sales", lambda row: row.sales, "Net sales of the {noun} at this rate, whatever came back of them.", 12,
               Kind.MONEY, total=True),
        Column("Refunds", lambda row: row.refunds, "Net charges refunded.", 12, Kind.MONEY, total=True),
        Column("Cancellations", lambda row: row.cancellations, "Net charges of cancelled orders.", 15.5, Kind.MONEY,
               total=True),
        Column("Net sales", lambda row: row.net_sales, "Sales less refunds and cancellations.", 13, Kind.MONEY,
               total=True),
        Column("Exempt", lambda row: row.exempt, "Net sales at a rate of zero.", 12, Kind.MONEY, total=True),
        Column("Taxable base", lambda row: row.taxable, "Net sales at a rate above zero.", 13, Kind.MONEY,
               total=True),
        Column("Tax charged", lambda row: row.tax, "Sales tax on the sales.", 12, Kind.MONEY, total=True),
        Column("Tax given back", lambda row: row.refunds_tax + row.cancellations_tax,
               "Sales tax on the refunds and cancellations.", 12, Kind.MONEY, total=True),
        Column("Tax", lambda row: row.net_tax, "Tax charged less tax given back.", 12, Kind.MONEY, total=True),
    ),
    landscape=True,
)  # fmt: skip

DEPOSITS: Final = Sheet(
    DepositRow,
    "Deposits",
    "DepositEvents",
    (
        Column("Date", lambda row: row.day, "Day of what happened; empty for what was left from before.", 11.5,
               Kind.DAY),
        Column("Deposit", lambda row: row.deposit_number, "Its number.", 9, Kind.NUMBER),
        Column("Customer", lambda row: row.customer, "Whose money it is.", 24),
        Column("Event", lambda row: row.event.value, "Taken, given back, used for an order, or put back.",
               24),
        Column("Order", lambda row: row.order_number, "Order that was paid with it.", 8, Kind.NUMBER),
        Column("Method", lambda row: row.method, "How the money came or went.", 9.5),
        Column("Reference", lambda row: row.reference, "Last digits of a card, or a check's number.", 13),
        Column("Before", lambda row: row.before, "Left before the {noun}.", 11, Kind.MONEY, total=True),
        Column("Taken", lambda row: row.taken, "Money taken.", 11, Kind.MONEY, total=True),
        Column("Given back", lambda row: row.given_back, "Money given back.", 11, Kind.MONEY, total=True),
        Column("Used", lambda row: row.used, "Used to pay orders.", 11, Kind.MONEY, total=True),
        Column("Left", lambda row: row.left, "Before and taken, less given back and used; the sum is left at the end.",
               11, Kind.MONEY, total=True),
    ),
    landscape=True,
    keys=("Method",),
)  # fmt: skip

YEAR_STATES: Final = Sheet(
    TaxRow,
    "States",
    "YearStates",
    (
        Column("State", lambda row: row.state, "State the orders were shipped to.", 7),
        Column("Tax category", lambda row: row.category, "What the lines are for the sales tax.", 21),
        Column("Rate", lambda row: row.rate_millionths, "Rate on the orders, as the owner had set it.", 9, Kind.RATE),
        Column("Laid on", lambda row: row.imposed_on, "Whom the state taxes: the buyer or the seller.", 9),
        Column("Sales", lambda row: row.sales, "Net charges sold in the year.", 14, Kind.MONEY, total=True),
        Column("Refunds", lambda row: row.refunds, "Net charges refunded.", 12, Kind.MONEY, total=True),
        Column("Cancellations", lambda row: row.cancellations, "Net charges of cancelled orders.", 15.5, Kind.MONEY,
               total=True),
        Column("Net sales", lambda row: row.net_sales, "Sales less refunds and cancellations.", 14, Kind.MONEY,
               total=True),
        Column("Taxable", lambda row: row.taxable, "Net sales at a rate above zero.", 14, Kind.MONEY, total=True),
        Column("Exempt", lambda row: row.exempt, "Net sales without tax.", 14, Kind.MONEY, total=True),
        Column("Reason", lambda row: row.exempt_reason or ("none given" if row.exempt else ""),
               "Why no tax was charged, as the owner gave it.", 26),
        Column("Tax", lambda row: row.net_tax, "Tax charged less that on refunds and cancellations.", 12, Kind.MONEY,
               total=True),
    ),
    landscape=True,
)  # fmt: skip

YEAR_CUSTOMERS: Final = Sheet(
    CustomerRow,
    "Customers",
    "YearCustomers",
    (
        Column("Number", lambda row: row.number, "Number of the customer.", 9, Kind.NUMBER),
        Column("Customer", lambda row: row.name, "Who ordered and pays.", 34),
        Column("State", lambda row: row.state, "State to which the newest order up to the year's end went.", 7),
        Column("Orders", lambda row: row.orders, "Orders of the year less those cancelled.", 8, Kind.COUNT, total=True),
        Column("Sales", lambda row: row.sales, "Net charges sold in the year.", 14, Kind.MONEY, total=True),
        Column("Refunds", lambda row: row.refunds, "Net charges refunded.", 12, Kind.MONEY, total=True),
        Column("Cancellations", lambda row: row.cancellations, "Net charges of cancelled orders.", 15.5, Kind.MONEY,
               total=True),
        Column("Net sales", lambda row: row.net_sales, "Sales less refunds and cancellations.", 14, Kind.MONEY,
               total=True),
    ),
)  # fmt: skip

YEAR_CARD_DAYS: Final = Sheet(
    CardDayRow,
    "Card days",
    "YearCardDays",
    (
        Column("Date", lambda row: row.day, "Day of the transactions.", 12, Kind.DAY),
        Column("Transactions", lambda row: row.count, "Payments and deposits by card, each once.", 15, Kind.COUNT,
               total=True),
        Column("Gross", lambda row: row.amount,
               "What was processed, before disputes, refunds and fees, as a 1099-K counts it.", 16, Kind.MONEY,
               total=True),
    ),
)  # fmt: skip

YEAR_NEXUS: Final = Sheet(
    NexusRow,
    "Nexus watch",
    "NexusWatch",
    (
        Column("State", lambda row: row.state, "State the orders were shipped to.", 7),
        Column("Orders", lambda row: row.orders, "Orders of the year less those cancelled.", 9, Kind.COUNT, total=True),
        Column("Sales", lambda row: row.sales, "Net charges, shipping included, taxed or not.", 14, Kind.MONEY,
               total=True),
        Column("Taken back", lambda row: row.taken_back, "Refunded or cancelled; some states count it all the same.",
               13, Kind.MONEY, total=True),
        Column("Net sales", lambda row: row.net, "Sales less what was taken back.", 14, Kind.MONEY, total=True),
        Column("Sales limit", lambda row: row.limit_sales, "As the owner set it; none is known here.", 14, Kind.MONEY),
        Column("Orders limit", lambda row: row.limit_orders, "As the owner set it.", 11, Kind.COUNT),
        Column("Needs", lambda row: "" if row.share is None else "both" if row.needs_both else "either",
               "Whether either limit is enough, or both have to be reached.", 9),
        Column("Reached", lambda row: row.share, "Net sales or orders as a share of the limit.", 11, Kind.RATE),
        Column("Standing", lambda row: row.standing.value, "Near from 80% on; reached; or that no limit was set.", 15),
    ),
    landscape=True,
)  # fmt: skip
