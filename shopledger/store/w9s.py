"""W-9s of payees and limits of years, as the ledger keeps them; none is ever changed, and a W-9 may be erased."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date
from typing import Final

from shopledger.ledger.books.payee_forms import W9, ReportLimit, W9Erasure, folded
from shopledger.ledger.numbers import number_of
from shopledger.ledger.parties import Address
from shopledger.ledger.text import mark
from shopledger.money.amount import Cents
from shopledger.store.records import Fields, Record
from shopledger.store.scales import read_day
from shopledger.store.tables.base import SALT
from shopledger.store.tables.year_lists import report_limit, w9, w9_erasure
from shopledger.store.transaction import Area

FORM: Final = Record(W9, w9, {"address": Fields(Address, w9)}, also=("folded",), counter="w9")
ERASURE: Final = Record(W9Erasure, w9_erasure, counter="w9 erasure")
LIMIT: Final = Record(ReportLimit, report_limit, counter="report limit")
_PAYEES: Final = """
SELECT payee AS name FROM expense UNION SELECT name FROM supplier ORDER BY name
"""
_LAST_PAID: Final = """
SELECT payee AS name, MAX(day) AS day FROM expense GROUP BY payee
UNION ALL
SELECT supplier.name, MAX(bill_payment.day) FROM bill_payment JOIN bill ON bill.number = bill_payment.bill_number
JOIN supplier ON supplier.number = bill.supplier_number GROUP BY supplier.name
"""


class W9s(Area):
    """What payees' W-9s say, and from which sum on a payee is reported."""

    def add(self, form: W9) -> W9:
        """Keep a W-9; gives it back with its number."""
        return self.transaction.post(FORM, form, folded=folded(form.payee))

    def of(self, payee: str) -> tuple[W9, ...]:
        """Give a payee's W-9s that were not erased, the newest first."""
        found = self.transaction.all(FORM, {w9.c.folded: folded(payee)}, (w9.c.number,))
        gone = {each.w9_number for each in self.erasures()}
        return tuple(each for each in reversed(found) if each.number not in gone)

    def newest(self) -> Mapping[str, W9]:
        """Give each payee's newest W-9 that was not erased, by the payee as it is compared."""
        gone = {each.w9_number for each in self.erasures()}
        every = self.transaction.all(FORM, order=(w9.c.number,))
        return {folded(each.payee): each for each in every if each.number not in gone}

    def payees(self) -> tuple[str, ...]:
        """Give whom expenses and bills name."""
        return tuple(str(row.name) for row in self.transaction.asked(_PAYEES))

    def last_paid(self, payee: str) -> date | None:
        """Give the last day on which a payee was paid, or None."""
        rows = self.transaction.asked(_LAST_PAID)
        days: list[date] = [read_day(row.day) for row in rows if folded(row.name) == folded(payee)]
        return max(days, default=None)

    def erase(self, new: W9Erasure) -> W9Erasure:
        """Record that a W-9 is erased, and blank what it said."""
        posted = self.transaction.post(ERASURE, new)
        form = self.transaction.get(FORM, posted.w9_number, "W-9")
        blanked = {
            **dict.fromkeys(("name", "street", "city"), mark(posted.day)),
            **dict.fromkeys(("second_line", "tax_number", SALT), ""),
            "postcode": f"{form.address.postcode[:3]}00",
        }
        self.transaction.change(w9, blanked, {w9.c.number: number_of(form)}, stamped=False)
        return posted

    def erasures(self) -> tuple[W9Erasure, ...]:
        """Give every erasure, oldest first."""
        return self.transaction.all(ERASURE, order=(w9_erasure.c.number,))

    def erase_again(self, listed: Iterable[W9Erasure]) -> tuple[W9Erasure, ...]:
        """Erase what an older copy of the ledger still knows; gives what was erased now."""
        done = {each.w9_number for each in self.erasures()}
        again = []
        for each in listed:
            if each.w9_number not in done and self.transaction.has(w9, {w9.c.number: each.w9_number}):
                done.add(each.w9_number)
                again.append(self.erase(each))
        return tuple(again)

    def set_limit(self, new: ReportLimit) -> ReportLimit:
        """Keep a year's limit; the newest holds."""
        return self.transaction.post(LIMIT, new)

    def limit(self, year: int) -> Cents | None:
        """Give the limit that the owner set for a year, or None."""
        found = self.transaction.all(LIMIT, {report_limit.c.year: year}, (report_limit.c.number,))
        return found[-1].amount if found else None
