"""What proving the books asks of the database: documents and their postings side by side, counters, stock, totals.

Each question gives only what differs. Wanted and found are put under one another and added up by document and account,
so that an entry without its document shows just as a document without its entry does. Some accounts are taken together
where the rows do not tell them apart: what a sale lists and what its offers take off (the books once knew only the
difference), where the costs of a job stand, and what a supplier takes off for goods sent back.
"""

from __future__ import annotations

from typing import Final

_MONEY: Final = "CASE {method} WHEN 'card' THEN 'card clearing' WHEN 'cash' THEN 'cash' ELSE 'bank' END"
_SPENT: Final = (
    "CASE {method} WHEN 'cash' THEN 'cash' WHEN 'card' THEN 'credit card owed' "
    "WHEN 'owner' THEN 'owner contributions' ELSE 'bank' END"
)
_TOGETHER: Final = """
CASE WHEN posting.account = 'offers and discounts' THEN 'sales'
     WHEN posting.account = 'lenses and lab work' THEN 'jobs in work'
     WHEN posting.account = 'scrap and remakes' AND entry.document NOT LIKE 'remake %' THEN 'jobs in work'
     WHEN posting.account = 'stock differences' AND entry.document LIKE 'movement %' THEN 'bills to pay'
     ELSE posting.account END
"""
_SOLD: Final = """
sold AS (
    SELECT order_number,
           SUM(CASE WHEN kind = 'shipping' THEN 0 ELSE net END) AS goods,
           SUM(CASE WHEN kind = 'shipping' THEN net ELSE 0 END) AS shipping,
           SUM(tax) AS tax,
           SUM(CASE WHEN tax_imposed_on = 'seller' THEN tax ELSE 0 END) AS sellers
    FROM order_line GROUP BY order_number
),
given AS (
    SELECT refund.number, refund.method, SUM(part.net) AS net, SUM(part.tax) AS tax,
           SUM(CASE WHEN line.tax_imposed_on = 'seller' THEN part.tax ELSE 0 END) AS sellers
    FROM refund JOIN refund_part part ON part.refund_number = refund.number
    JOIN order_line line ON line.order_number = part.order_number AND line.position = part.line
    GROUP BY refund.number, refund.method
)
"""
_OF_SALES: Final = """
SELECT 'order ' || CAST(order_number AS TEXT) AS document, 'receivable' AS account, goods + shipping + tax AS amount
FROM sold
UNION ALL SELECT 'order ' || CAST(order_number AS TEXT), 'sales', -goods FROM sold
UNION ALL SELECT 'order ' || CAST(order_number AS TEXT), 'shipping income', -shipping FROM sold
UNION ALL SELECT 'order ' || CAST(order_number AS TEXT), 'sales tax payable', -tax FROM sold
UNION ALL SELECT 'order ' || CAST(order_number AS TEXT), 'taxes and licences', sellers FROM sold
UNION ALL SELECT 'order ' || CAST(order_number AS TEXT), 'tax charged as seller', -sellers FROM sold
"""
_OF_PAYMENTS: Final = f"""
SELECT 'payment ' || CAST(number AS TEXT) AS document, order_number,
       CASE WHEN deposit_number IS NULL THEN {_MONEY.format(method="method")} ELSE 'customer deposits' END AS account,
       amount
FROM payment
UNION ALL SELECT 'payment ' || CAST(number AS TEXT), order_number, 'receivable', -amount FROM payment
"""  # noqa: S608 - the words above
_OF_REFUNDS: Final = f"""
SELECT 'refund ' || CAST(number AS TEXT) AS document, 'returns and allowances' AS account, net AS amount FROM given
UNION ALL SELECT 'refund ' || CAST(number AS TEXT), 'sales tax payable', tax FROM given
UNION ALL SELECT 'refund ' || CAST(number AS TEXT), 'tax charged as seller', sellers FROM given
UNION ALL SELECT 'refund ' || CAST(number AS TEXT), 'taxes and licences', -sellers FROM given
UNION ALL SELECT 'refund ' || CAST(number AS TEXT), {_MONEY.format(method="method")}, -(net + tax) FROM given
"""  # noqa: S608 - as above
_OF_CANCELLATIONS: Final = """
SELECT 'cancellation of ' || of_sales.document AS document, of_sales.account, -of_sales.amount AS amount
FROM of_sales JOIN cancellation ON of_sales.document = 'order ' || CAST(cancellation.order_number AS TEXT)
UNION ALL
SELECT 'cancellation of order ' || CAST(paid.order_number AS TEXT), paid.account, -paid.amount
FROM of_payments paid JOIN cancellation ON cancellation.order_number = paid.order_number
"""
_OF_GOODS: Final = """
SELECT 'shipment of order ' || CAST(moved.order_number AS TEXT) AS document, 'inventory' AS account,
       moved.cost AS amount
FROM stock_movement moved WHERE moved.reason = 'sold'
UNION ALL
SELECT 'shipment of order ' || CAST(moved.order_number AS TEXT), 'cost of goods sold', -moved.cost
FROM stock_movement moved WHERE moved.reason = 'sold'
UNION ALL
SELECT 'movement ' || CAST(moved.number AS TEXT), 'inventory', moved.cost
FROM stock_movement moved
WHERE moved.reason <> 'sold' AND NOT (moved.reason = 'received' AND moved.bill_number IS NOT NULL)
UNION ALL
SELECT 'movement ' || CAST(moved.number AS TEXT),
       CASE moved.reason WHEN 'opening' THEN 'opening balances' WHEN 'received' THEN 'opening balances'
            WHEN 'returned' THEN 'cost of goods sold' WHEN 'written off' THEN 'stock written off'
            WHEN 'given away' THEN 'samples and gifts' WHEN 'own use' THEN 'owner draws' ELSE 'bills to pay' END,
       -moved.cost
FROM stock_movement moved
WHERE moved.reason <> 'sold' AND NOT (moved.reason = 'received' AND moved.bill_number IS NOT NULL)
UNION ALL
SELECT 'remake ' || CAST(number AS TEXT), 'scrap and remakes', cost FROM remake
WHERE EXISTS (SELECT 1 FROM journal_entry WHERE document = 'remake ' || CAST(remake.number AS TEXT))
UNION ALL
SELECT 'remake ' || CAST(number AS TEXT), 'jobs in work', -cost FROM remake
WHERE EXISTS (SELECT 1 FROM journal_entry WHERE document = 'remake ' || CAST(remake.number AS TEXT))
"""
_OF_SPENDING: Final = f"""
SELECT 'bill ' || CAST(bill_number AS TEXT) AS document,
       CASE kind WHEN 'stock' THEN 'inventory' WHEN 'job' THEN 'jobs in work' ELSE category END AS account,
       landed AS amount
FROM bill_line WHERE kind <> 'freight'
UNION ALL SELECT 'bill ' || CAST(bill_number AS TEXT), 'bills to pay', -amount FROM bill_line
UNION ALL SELECT 'bill payment ' || CAST(number AS TEXT), 'bills to pay', amount FROM bill_payment
UNION ALL SELECT 'bill payment ' || CAST(number AS TEXT), {_SPENT.format(method="method")}, -amount FROM bill_payment
UNION ALL SELECT 'expense ' || CAST(number AS TEXT), category, amount FROM expense
UNION ALL SELECT 'expense ' || CAST(number AS TEXT), {_SPENT.format(method="method")}, -amount FROM expense
UNION ALL
SELECT 'deposit ' || CAST(number AS TEXT), {_MONEY.format(method="method")},
       CASE WHEN gives_back IS NULL THEN amount ELSE -amount END FROM deposit
UNION ALL
SELECT 'deposit ' || CAST(number AS TEXT), 'customer deposits',
       CASE WHEN gives_back IS NULL THEN -amount ELSE amount END FROM deposit
UNION ALL
SELECT 'money ' || CAST(number AS TEXT),
       CASE kind WHEN 'fetched' THEN 'cash' WHEN 'banked' THEN 'bank' ELSE till END,
       CASE WHEN kind IN ('card paid', 'draw', 'tax paid') THEN -(amount - fee) ELSE amount - fee END FROM money_move
UNION ALL
SELECT 'money ' || CAST(number AS TEXT),
       CASE kind WHEN 'payout' THEN 'card clearing' WHEN 'banked' THEN 'cash' WHEN 'fetched' THEN 'bank'
            WHEN 'card paid' THEN 'credit card owed' WHEN 'contribution' THEN 'owner contributions'
            WHEN 'draw' THEN 'owner draws' WHEN 'tax paid' THEN 'sales tax payable'
            WHEN 'opening' THEN 'opening balances' ELSE 'other income' END,
       CASE WHEN kind IN ('card paid', 'draw', 'tax paid') THEN amount ELSE -amount END FROM money_move
UNION ALL
SELECT 'money ' || CAST(number AS TEXT),
       CASE kind WHEN 'payout' THEN 'commissions and fees' ELSE 'other income' END,
       CASE kind WHEN 'payout' THEN fee ELSE -fee END FROM money_move WHERE fee <> 0
"""  # noqa: S608 - as above
DOCUMENTS: Final = f"""
WITH {_SOLD},
of_sales AS ({_OF_SALES}),
of_payments AS ({_OF_PAYMENTS}),
of_spending AS ({_OF_SPENDING})
SELECT document, account, SUM(wanted) AS wanted, SUM(found) AS found
FROM (
    SELECT document, account, amount AS wanted, 0 AS found FROM of_sales
    UNION ALL SELECT document, account, amount, 0 FROM of_payments
    UNION ALL SELECT document, account, amount, 0 FROM ({_OF_REFUNDS}) refunded
    UNION ALL SELECT document, account, amount, 0 FROM ({_OF_CANCELLATIONS}) cancelled
    UNION ALL SELECT document, account, amount, 0 FROM ({_OF_GOODS}) goods
    UNION ALL SELECT document, account, amount, 0 FROM of_spending
    UNION ALL
    SELECT 'taking back of ' || taken.document, own.account, -own.amount, 0
    FROM taken_back taken JOIN of_spending own ON own.document = taken.document
    UNION ALL
    SELECT entry.document, {_TOGETHER}, 0, posting.amount
    FROM journal_entry entry JOIN journal_posting posting ON posting.entry_number = entry.number
) together
GROUP BY document, account HAVING SUM(wanted) <> SUM(found)
ORDER BY document, account
"""  # noqa: S608 - as above

COUNTERS: Final = {
    "entry": ("journal_entry", "number"),
    "order": ("shop_order", "number"),
    "job": ("order_pair", "job_number"),
    "payment": ("payment", "number"),
    "refund": ("refund", "number"),
    "receipt": ("receipt", "number"),
    "movement": ("stock_movement", "number"),
    "bill": ("bill", "number"),
    "bill payment": ("bill_payment", "number"),
    "expense": ("expense", "number"),
    "money": ("money_move", "number"),
    "deposit": ("deposit", "number"),
    "remake": ("remake", "number"),
    "inspection": ("inspection", "number"),
    "prescription": ("prescription", "number"),
    "customer": ("customer", "number"),
    "supplier": ("supplier", "number"),
    "lens order": ("lens_order", "number"),
    "draft": ("draft_order", "number"),
    "period": ("period_event", "number"),
    "audit": ("audit_note", "number"),
}
"""The counters that give numbers without gaps, each with its table and column."""

COUNTED: Final = "UNION ALL".join(
    f"""
SELECT '{name}' AS name, (SELECT last FROM counter WHERE name = '{name}') AS last, COUNT(*) AS many,
       COALESCE(MAX({column}), 0) AS highest FROM {table}
"""  # noqa: S608 - the names above
    for name, (table, column) in COUNTERS.items()
)

LEVELS: Final = """
SELECT kind, item_code, SUM(moved) AS wanted, SUM(level) AS found
FROM (
    SELECT kind, item_code, quantity AS moved, 0 AS level FROM stock_movement
    UNION ALL SELECT kind, item_code, 0, on_hand FROM stock_level
) together
GROUP BY kind, item_code HAVING SUM(moved) <> SUM(level) ORDER BY kind, item_code
"""
SET_ASIDE: Final = """
SELECT kind, item_code, SUM(wanted) AS wanted, SUM(found) AS found
FROM (
    SELECT line.kind AS kind, line.item_code AS item_code, line.quantity - COALESCE((
               SELECT SUM(part.returned) FROM refund_part part
               WHERE part.order_number = line.order_number AND part.line = line.position), 0) AS wanted, 0 AS found
    FROM order_line line
    WHERE line.kind IN ('frame', 'accessory')
      AND NOT EXISTS (SELECT 1 FROM shipment WHERE shipment.order_number = line.order_number)
      AND NOT EXISTS (SELECT 1 FROM cancellation WHERE cancellation.order_number = line.order_number)
    UNION ALL SELECT kind, item_code, 0, set_aside FROM stock_level
) together
GROUP BY kind, item_code HAVING SUM(wanted) <> SUM(found) ORDER BY kind, item_code
"""
LOTS: Final = """
SELECT number, SUM(came) AS came, SUM(cost) AS cost, SUM(on_hand) AS on_hand, SUM(stands) AS stands
FROM (
    SELECT number, quantity AS came, cost, 0 AS on_hand, 0 AS stands FROM stock_movement WHERE quantity > 0
    UNION ALL SELECT lot, -quantity, -cost, 0, 0 FROM stock_issue
    UNION ALL SELECT number, 0, 0, on_hand, cost FROM stock_lot
) together
GROUP BY number HAVING SUM(came) <> SUM(on_hand) OR SUM(cost) <> SUM(stands) ORDER BY number
"""
ISSUES: Final = """
SELECT number, SUM(went) AS went, SUM(cost) AS cost, SUM(issued) AS issued, SUM(stands) AS stands
FROM (
    SELECT number, -quantity AS went, -cost AS cost, 0 AS issued, 0 AS stands FROM stock_movement WHERE quantity < 0
    UNION ALL SELECT movement_number, 0, 0, quantity, cost FROM stock_issue
) together
GROUP BY number HAVING SUM(went) <> SUM(issued) OR SUM(cost) <> SUM(stands) ORDER BY number
"""

_BALANCE: Final = "(SELECT COALESCE(SUM(amount), 0) FROM journal_posting WHERE account = '{account}')"
ACCOUNTS: Final = f"""
SELECT 'inventory' AS account, (SELECT COALESCE(SUM(cost), 0) FROM stock_movement) AS wanted,
       {_BALANCE.format(account="inventory")} AS found
UNION ALL
SELECT 'receivable',
       (SELECT COALESCE(SUM(line.net + line.tax), 0) FROM order_line line
        WHERE NOT EXISTS (SELECT 1 FROM cancellation WHERE cancellation.order_number = line.order_number))
       - (SELECT COALESCE(SUM(amount), 0) FROM payment
          WHERE NOT EXISTS (SELECT 1 FROM cancellation WHERE cancellation.order_number = payment.order_number)),
       {_BALANCE.format(account="receivable")}
UNION ALL
SELECT 'customer deposits',
       (SELECT COALESCE(SUM(amount), 0) FROM payment WHERE deposit_number IS NOT NULL
        AND NOT EXISTS (SELECT 1 FROM cancellation WHERE cancellation.order_number = payment.order_number))
       - (SELECT COALESCE(SUM(CASE WHEN gives_back IS NULL THEN amount ELSE -amount END), 0) FROM deposit
          WHERE NOT EXISTS (SELECT 1 FROM taken_back
                            WHERE taken_back.document = 'deposit ' || CAST(deposit.number AS TEXT))),
       {_BALANCE.format(account="customer deposits")}
UNION ALL
SELECT 'bills to pay',
       (SELECT COALESCE(SUM(amount), 0) FROM bill_payment
        WHERE NOT EXISTS (SELECT 1 FROM taken_back
                          WHERE taken_back.document = 'bill payment ' || CAST(bill_payment.number AS TEXT)))
       - (SELECT COALESCE(SUM(amount), 0) FROM bill_line
          WHERE NOT EXISTS (SELECT 1 FROM taken_back
                            WHERE taken_back.document = 'bill ' || CAST(bill_line.bill_number AS TEXT)))
       + (SELECT COALESCE(SUM(posting.amount), 0) FROM journal_entry entry
          JOIN journal_posting posting ON posting.entry_number = entry.number
          WHERE posting.account = 'bills to pay' AND entry.document LIKE 'movement %'),
       {_BALANCE.format(account="bills to pay")}
"""  # noqa: S608 - as above
COUNTED_DOCUMENTS: Final = """
SELECT (SELECT COUNT(*) FROM shop_order) + (SELECT COUNT(*) FROM payment) + (SELECT COUNT(*) FROM refund)
     + (SELECT COUNT(*) FROM cancellation) + (SELECT COUNT(*) FROM shipment) + (SELECT COUNT(*) FROM stock_movement)
     + (SELECT COUNT(*) FROM remake) + (SELECT COUNT(*) FROM bill) + (SELECT COUNT(*) FROM bill_payment)
     + (SELECT COUNT(*) FROM expense) + (SELECT COUNT(*) FROM deposit) + (SELECT COUNT(*) FROM money_move)
     + (SELECT COUNT(*) FROM taken_back) AS many
"""
RECEIPTS: Final = "SELECT number, canonical, sha256 FROM receipt ORDER BY number"
CLOSINGS: Final = "SELECT month, deed, head_count, head_hash FROM period_event ORDER BY number"
