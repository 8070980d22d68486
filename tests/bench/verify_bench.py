"""How long it takes to work the chain of the books out again beside hashing its bytes alone; prints the ratios.

Run it as `python tests/bench/verify_bench.py [ENTRIES]`. Sales, payments, shipments and expenses are posted in turns;
the floor hashes their canonical bytes, held ready in memory. Both are run in turns, and the median of the ratios
counts.
"""

from __future__ import annotations

import gc
import statistics
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import closing
from datetime import date, timedelta
from hashlib import sha256
from itertools import islice
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from shopledger.ledger.books.journal import EMPTY_HEAD, Account, Entry, Posting, chained
from shopledger.store.guards import lift_guards, set_guards
from shopledger.store.opening import Ledger, create_ledger, ledger_url
from shopledger.store.tables.journal import journal_entry, journal_posting
from tests.documents import named
from tests.store.samples import DAY, NOW, OPERATOR

GOAL = 3.5
ROUNDS = 7
AT_ONCE = 10_000


def entries() -> Iterator[Entry]:
    """Give entries as a shop posts them, one order after another, without end."""
    number = 0
    while True:
        number += 1
        day = DAY + timedelta(number // 40)
        yield from (
            sale(day, number),
            moved(day, f"card payment, order {number}", f"payment {number}", Account.CARD_CLEARING, Account.RECEIVABLE),
            moved(
                day,
                f"cost of goods shipped, order {number}",
                f"shipment of order {number}",
                Account.COST_OF_GOODS,
                Account.INVENTORY,
            ),
            moved(day, "supplies: Fennel & Sons", f"expense {number}", Account.SUPPLIES, Account.BANK),
        )


def sale(day: date, number: int) -> Entry:
    """Give the entry of a sale with an offer, shipping and tax."""
    postings = (
        Posting(Account.RECEIVABLE, 21_224),
        Posting(Account.DISCOUNTS, 8_000),
        Posting(Account.SALES, -28_400),
        Posting(Account.SHIPPING_INCOME, -650),
        Posting(Account.SALES_TAX_PAYABLE, -174),
    )
    return Entry(day, f"sale, order {number}", named(f"order {number}"), postings)


def moved(day: date, memo: str, document: str, debit: Account, credit: Account) -> Entry:
    """Give an entry of two postings."""
    return Entry(day, memo, named(document), (Posting(debit, 6_100), Posting(credit, -6_100)))


def fill(ledger: Ledger, count: int) -> list[bytes]:
    """Post so many entries, quicker than the shop would; gives their canonical bytes."""
    head, bodies, coming, number = EMPTY_HEAD, [], entries(), 0
    with ledger.writing(OPERATOR, NOW) as work:
        transaction = work.transaction
        lift_guards(transaction.connection)
        while some := list(islice(coming, min(AT_ONCE, count - number))):
            rows, postings = [], []
            for entry in some:
                number += 1
                head = chained(head, entry)
                bodies.append(entry.canonical())
                rows.append(
                    {
                        "number": number,
                        "day": entry.day,
                        "memo": entry.memo,
                        "document_kind": entry.document.kind,
                        "document_number": entry.document.number,
                        "hash": head.hash,
                        "reverses": None,
                    }
                )
                postings += [
                    {"entry_number": number, "position": place, "account": each.account, "amount": each.amount}
                    for place, each in enumerate(entry.postings, start=1)
                ]
            transaction.add(journal_entry, *rows)
            transaction.add(journal_posting, *postings)
        set_guards(transaction.connection)
    return bodies


def hashed(bodies: list[bytes]) -> str:
    """Hash the bytes alone, each with the hash before it."""
    last = bytes(32)
    for body in bodies:
        last = sha256(last + body).digest()
    return last.hex()


def seconds(work: Callable[[], object]) -> float:
    """Give how long something takes."""
    gc.collect()
    begun = time.perf_counter()
    work()
    return time.perf_counter() - begun


def main(count: int) -> None:
    """Fill a ledger and print the ratios."""
    with tempfile.TemporaryDirectory() as folder, closing(create_ledger(ledger_url(f"{folder}/ledger.db"))) as ledger:
        bodies = fill(ledger, count)
        with ledger.reading() as work:
            assert work.journal.chain().hash == hashed(bodies)
            ratios: dict[str, list[float]] = {"chain": [], "chain and balance": []}
            floors = []
            for _ in range(ROUNDS):
                floors.append(seconds(lambda: hashed(bodies)))
                ratios["chain"].append(seconds(work.journal.chain) / floors[-1])
                ratios["chain and balance"].append(seconds(work.journal.verify) / floors[-1])
    print(f"{count:,} entries; hashing their bytes takes {statistics.median(floors):.3f} s")
    for name, found in ratios.items():
        print(f"{name:20} {statistics.median(found):5.2f} x, best {min(found):.2f} x (goal {GOAL} x)")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 400_000)
