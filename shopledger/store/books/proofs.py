"""Proving the books against everything else that the ledger keeps."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Iterator

from shopledger.ledger.books.proofs import Difference, KeptHead, Proof, head_proof, money_differs, proof
from shopledger.ledger.canonical import content_hash
from shopledger.money.amount import write_amount
from shopledger.store.books import document_rows
from shopledger.store.books import proof_queries as queries
from shopledger.store.books.journal import Journal
from shopledger.store.refusals import JournalBrokenError
from shopledger.store.transaction import Area

LARGEST_COUNT = 2**31 - 1
"""No entry has a higher number; whatever is typed beyond it is not looked up."""
AT_ONCE = 500


class Proofs(Area):
    """The checks of the ledger; each reads all of it that it needs, and changes nothing."""

    def all(self) -> tuple[Proof, ...]:
        """Make every check of the ledger itself."""
        checks: tuple[Callable[[], Proof], ...] = (
            self.chain,
            self.balance,
            self.heads,
            self.documents,
            self.accounts,
            self.counters,
            self.stock,
            self.lots,
            self.receipts,
        )
        return tuple(check() for check in checks)

    def chain(self) -> Proof:
        """Prove that every entry is what it was when it was posted, and that none is missing."""
        words = "every entry is chained to the one before it"
        journal = Journal(self.transaction)
        try:
            count = journal.chain().count
        except JournalBrokenError as error:
            broken = Difference(f"entry {error.number}", "as it was posted", error.reason)
            return proof("CHAIN", words, journal.head().count, [broken])
        return Proof("CHAIN", words, count)

    def balance(self) -> Proof:
        """Prove that debits equal credits in every entry."""
        journal = Journal(self.transaction)
        off = journal.unbalanced()
        found = [Difference(f"entry {number}", "in balance", "out of balance") for number in off]
        return proof("BALANCE", "debits equal credits in every entry", journal.head().count, found)

    def heads(self) -> Proof:
        """Prove that the heads kept with receipts and closed months are all still contained."""
        kept = tuple(self._kept_heads())
        hashes = self._hashes(kept)
        lost = [
            Difference(each.where, str(each), f"entry {each.count} carries {hashes[each.count][:16] or 'nothing'}")
            for each in kept
            if not each.fits(hashes[each.count])
        ]
        return proof("HEADS", "the books contain every head printed on receipts and kept at closings", len(kept), lost)

    def head(self, claimed: KeptHead) -> Proof:
        """Prove that a head printed earlier is still contained, or say where the books part from it."""
        kept = tuple(self._kept_heads())
        hashes = self._hashes((claimed, *kept))
        holding = [each for each in kept if each.fits(hashes[each.count])]
        return head_proof(claimed, hashes[claimed.count], holding, Journal(self.transaction).head())

    def documents(self) -> Proof:
        """Prove that every document has its entries with the right amounts, and every entry its document."""
        rows = self.transaction.asked(document_rows.DOCUMENTS)
        found = [
            money_differs(f"{row.document_kind} {row.document_number}, {row.account}", int(row.wanted), int(row.found))
            for row in rows
        ]
        many = int(self.transaction.asked(document_rows.COUNTED)[0].many)
        return proof("DOCUMENTS", "every document has its entries, and every entry its document", many, found)

    def accounts(self) -> Proof:
        """Prove that what accounts stand at is what the rows behind them come to."""
        rows = self.transaction.asked(queries.ACCOUNTS)
        off = [money_differs(row.account, int(row.wanted), int(row.found)) for row in rows if row.wanted != row.found]
        words = "inventory, receivable, customer deposits and bills to pay are what their rows come to"
        return proof("ACCOUNTS", words, len(rows), off)

    def counters(self) -> Proof:
        """Prove that numbers were given without gaps, and that none of them is missing."""
        rows = self.transaction.asked(queries.COUNTED)
        off = [
            Difference(f"{row.name} numbers", f"1 to {row.last or 0}", f"{row.many}, the highest {row.highest}")
            for row in rows
            if not row.many == row.highest == (row.last or 0)
        ]
        return proof("COUNTERS", "numbers follow one another without a gap", len(rows), off)

    def stock(self) -> Proof:
        """Prove that what is on hand and reserved is what movements and open orders say."""
        off = [
            Difference(f"{row.kind} {row.item_code} {what}", str(int(row.wanted)), str(int(row.found)))
            for what, question in (("on hand", queries.LEVELS), ("reserved", queries.RESERVED))
            for row in self.transaction.asked(question)
        ]
        items = self._count("stock_level")
        return proof("STOCK", "what is on hand and reserved is what movements and orders say", items, off)

    def lots(self) -> Proof:
        """Prove that what is left of each lot is what came in less what left, in number and in cost."""
        off = [
            Difference(
                f"lot {row.number}",
                f"{int(row.came)} at {write_amount(int(row.cost))}",
                f"{int(row.on_hand)} at {write_amount(int(row.stands))}",
            )
            for row in self.transaction.asked(queries.LOTS)
        ] + [
            Difference(
                f"movement {row.number}",
                f"{int(row.went)} at {write_amount(int(row.cost))}",
                f"{int(row.issued)} at {write_amount(int(row.stands))} taken from lots",
            )
            for row in self.transaction.asked(queries.ISSUES)
        ]
        many = self._count("stock_movement")
        return proof("LOTS", "lots hold what came in less what left, in number and in cost", many, off)

    def receipts(self) -> Proof:
        """Prove that each receipt's frozen content is what it was when it was issued."""
        many, off = 0, []
        for row in self.transaction.stream(queries.RECEIPTS):
            many += 1
            if content_hash(row.canonical) != row.sha256:
                off.append(Difference(f"receipt {row.number}", "as it was issued", "its content was changed"))
        return proof("RECEIPTS", "receipts hold what they were issued with", many, off)

    def _count(self, table: str) -> int:
        return int(self.transaction.asked(f"SELECT COUNT(*) AS many FROM {table}")[0].many)  # noqa: S608 - names above

    def _kept_heads(self) -> Iterator[KeptHead]:
        for row in self.transaction.asked(queries.CLOSINGS):
            yield KeptHead(row.head_count, row.head_hash, f"the month {row.month}, {row.deed},")
        for row in self.transaction.stream(queries.RECEIPTS):
            if content_hash(row.canonical) == row.sha256:
                yield KeptHead.read(json.loads(row.canonical)["ledger_head"], f"receipt {row.number}")

    def _hashes(self, kept: Iterable[KeptHead]) -> dict[int, str]:
        """Give the hash that the entry of each count carries now, empty where there is none."""
        found = dict.fromkeys((each.count for each in kept), "")
        asked = sorted(count for count in found if count <= LARGEST_COUNT)
        for start in range(0, len(asked), AT_ONCE):
            numbers = ", ".join(map(str, asked[start : start + AT_ONCE]))
            rows = self.transaction.asked(f"SELECT number, hash FROM journal_entry WHERE number IN ({numbers})")  # noqa: S608 - whole numbers
            found.update((row.number, row.hash) for row in rows)
        return found
