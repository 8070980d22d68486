"""Proving the books against everything else that the ledger keeps."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import ParamSpec

from shopledger.errors import LedgerError, StoreError
from shopledger.ledger.books.journal import Head
from shopledger.ledger.books.proofs import (
    MOST_NAMED,
    Difference,
    KeptHead,
    Proof,
    head_proof,
    money_differs,
    proof,
)
from shopledger.ledger.canonical import content_hash
from shopledger.ledger.text import is_mark
from shopledger.money.amount import write_amount
from shopledger.store.audit_trail import AuditTrail
from shopledger.store.books import document_rows
from shopledger.store.books import proof_queries as queries
from shopledger.store.books.frozen_papers import frozen_papers
from shopledger.store.books.journal import Journal
from shopledger.store.kept_files import KeptFiles
from shopledger.store.refusals import FileChangedError, JournalBrokenError
from shopledger.store.seals import Seals
from shopledger.store.transaction import Area
from shopledger.store.translation import translated

P = ParamSpec("P")

LARGEST_COUNT = 2**31 - 1
"""No entry has a higher number; whatever is typed beyond it is not looked up."""
AT_ONCE = 500


class Proofs(Area):
    """The checks of the ledger; each reads all of it that it needs, and changes nothing."""

    def all(self) -> tuple[Proof, ...]:
        """Make every check of the ledger itself; what is too damaged to be looked at differs."""
        return (*_made(self.pages), *_made(self.seals), *self.of_the_books())

    def since(self, head: Head, rows: Mapping[str, int]) -> tuple[Proof, ...]:
        """Make the checks of what was written after a head on which all was proven, when tables had so many rows."""
        return tuple(_made(self._newest, head, rows))

    def _newest(self, head: Head, rows: Mapping[str, int]) -> list[Proof]:
        seals = Seals(self.transaction)
        if seals.hash_of(head.count) != head.hash:
            lost = Difference(f"seal {head.count}", head.hash[:16], "the chain carries another, or none, there")
            return [proof("SEALS", "the chain contains the head that all was proven on", head.count, [lost])]
        found = seals.standing(head)
        named, many = seals.differences(found)
        counted = seals.counts()
        wanted = {name: rows.get(name, 0) + found.growth[name] for name in counted}
        off = [
            Difference(name.replace("_", " "), f"{wanted[name]} rows", f"{many} rows")
            for name, many in counted.items()
            if many != wanted[name]
        ]
        since = f"since seal {head.count}"
        return [
            proof("SEALS", f"every seal {since} is chained to the one before it", found.head.count, found.links),
            Proof(
                "RECORDS", f"what was written {since} is what was sealed", found.rows, tuple(named[:MOST_NAMED]), many
            ),
            proof("COUNTS", f"no row is gone or came otherwise {since}", sum(counted.values()), off),
        ]

    def of_the_books(self) -> tuple[Proof, ...]:
        """Make the checks of the books against what the ledger keeps beside them."""
        checks: tuple[Callable[[], Proof], ...] = (
            self.chain,
            self.balance,
            self.heads,
            self.documents,
            self.accounts,
            self.sides,
            self.counters,
            self.stock,
            self.lots,
            self.receipts,
            self.files,
            self.audit,
        )
        return tuple(each for check in checks for each in _made(check))

    def pages(self) -> list[Proof]:
        """Prove that the database itself finds nothing wrong with its file; PostgreSQL has no such question."""
        connection = self.transaction.connection
        if connection.dialect.name != "sqlite":
            return []
        off = [
            Difference("the file", "sound", str(said))
            for said in connection.exec_driver_sql("PRAGMA integrity_check(20)").scalars()
            if said != "ok"
        ]
        off += [
            Difference(f"a row of {row[0]}", f"pointing at a row of {row[2]}", "it points at nothing")
            for row in connection.exec_driver_sql("PRAGMA foreign_key_check").fetchmany(MOST_NAMED)
        ]
        many = int(connection.exec_driver_sql("PRAGMA page_count").scalar_one())
        return [proof("PAGES", "the database finds its own file sound", many, off)]

    def seals(self) -> list[Proof]:
        """Prove that every record is what it was when it was written, and that none is missing or was slipped in."""
        seals = Seals(self.transaction)
        found = seals.standing()
        named, many = seals.differences(found)
        rows = "records, tables and guards are what they were when they were sealed"
        return [
            proof("SEALS", "every seal is chained to the one before it", found.head.count, found.links),
            Proof("RECORDS", rows, found.rows, tuple(named[:MOST_NAMED]), many),
        ]

    def files(self) -> Proof:
        """Prove that every kept file is there, and is what was kept."""
        kept, off = KeptFiles(self.transaction), []
        for file in kept.all():
            if is_mark(file.name):
                continue
            try:
                kept.body(file.sha256)
            except FileChangedError as error:
                off.append(Difference(f"the kept file {file.name}", "as it was kept", error.reason))
        return proof("FILES", "kept files are there, and are what was kept", len(kept.all()), off)

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
            Difference(each.where, str(each), f"the chain carries {hashes[each.count][0][:16] or 'nothing'} there")
            for each in kept
            if not any(map(each.fits, hashes[each.count]))
        ]
        return proof("HEADS", "the books contain every head printed on receipts and kept at closings", len(kept), lost)

    def head(self, claimed: KeptHead) -> Proof:
        """Prove that a head printed earlier is still contained, or say where the books part from it."""
        kept = tuple(self._kept_heads())
        hashes = self._hashes((claimed, *kept))
        holding = [each for each in kept if any(map(each.fits, hashes[each.count]))]
        hashed = next(filter(claimed.fits, hashes[claimed.count]), hashes[claimed.count][0])
        return head_proof(claimed, hashed, holding, Seals(self.transaction).head())

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

    def sides(self) -> Proof:
        """Prove that on no day an order is owed and paid ahead at once."""
        off = [
            Difference(f"order {row.order_number} on {row.day}", "owed, or paid ahead", "both")
            for row in self.transaction.asked(queries.SIDES)
        ]
        words = "on each day an order is owed by its customer or paid ahead of its goods, never both"
        return proof("SIDES", words, self._count("shop_order"), off)

    def counters(self) -> Proof:
        """Prove that numbers were given without gaps, and that none of them is missing."""
        rows = self.transaction.asked(queries.COUNTED)
        off = [
            Difference(f"{row.name} numbers", f"1 to {row.last or 0}", f"{row.many}, the highest {row.highest}")
            for row in rows
            if not row.many == max(row.highest, row.gap) == (row.last or 0)
        ]
        off += [
            Difference(f"{row.name} numbers", f"at least {row.highest}", str(row.last))
            for row in self.transaction.asked(queries.BELOW)
            if (row.last or 0) < row.highest
        ]
        known = {*queries.COUNTERS, *queries.WITH_GAPS}
        named = {row.name for row in self.transaction.asked(queries.NAMES)}
        off += [Difference(f"{name} numbers", "counted", "no counter has that name") for name in sorted(known - named)]
        off += [Difference(f"the counter {name}", "among those known", "it is not") for name in sorted(named - known)]
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
        off += [
            Difference(f"lot {row.number}", "of the goods and day that its movement says", "it says otherwise")
            for row in self.transaction.asked(queries.MISLAID)
        ]
        many = self._count("stock_movement")
        return proof("LOTS", "lots hold what came in less what left, in number and in cost", many, off)

    def receipts(self) -> Proof:
        """Prove that each frozen paper is what it was when it was issued, or what an erasure left of it."""
        return frozen_papers(self.transaction)

    def audit(self) -> Proof:
        """Prove that every note of who looked and changed is what it was, and none is missing."""
        return AuditTrail(self.transaction).proof()

    def _count(self, table: str) -> int:
        return int(self.transaction.asked(f"SELECT COUNT(*) AS many FROM {table}")[0].many)  # noqa: S608 - names above

    def _kept_heads(self) -> Iterator[KeptHead]:
        for row in self.transaction.asked(queries.CLOSINGS):
            yield KeptHead(row.head_count, row.head_hash, f"the month {row.month}, {row.deed},")
        for row in self.transaction.stream(queries.RECEIPTS):
            if content_hash(row.canonical) == row.sha256:
                yield KeptHead.read(json.loads(row.canonical)["ledger_head"], f"receipt {row.number}")

    def _hashes(self, kept: Iterable[KeptHead]) -> dict[int, tuple[str, str]]:
        """Give the hashes that the seal and the entry of each count carry now, empty where there is none.

        Heads of before the ledger had seals are those of the journal.
        """
        counts = {each.count for each in kept}
        sealed, posted = (self._hashes_in(table, counts) for table in ("seal", "journal_entry"))
        return {count: (sealed.get(count, ""), posted.get(count, "")) for count in counts}

    def _hashes_in(self, table: str, counts: Iterable[int]) -> dict[int, str]:
        found: dict[int, str] = {}
        asked = sorted(count for count in counts if count <= LARGEST_COUNT)
        for start in range(0, len(asked), AT_ONCE):
            numbers = ", ".join(map(str, asked[start : start + AT_ONCE]))
            rows = self.transaction.asked(f"SELECT number, hash FROM {table} WHERE number IN ({numbers})")  # noqa: S608 - whole numbers
            found.update((row.number, row.hash) for row in rows)
        return found


def _made(check: Callable[P, Proof | Iterable[Proof]], *given: P.args, **named: P.kwargs) -> Iterator[Proof]:
    """Make checks; where the ledger is too damaged for one, that is what differs."""
    try:
        with translated():
            made = check(*given, **named)
            yield from [made] if isinstance(made, Proof) else made
    except (StoreError, LedgerError, ValueError, KeyError, TypeError) as error:
        said = " ".join(str(error).split())
        off = Difference("the ledger", "readable", f"it is damaged: {said}")
        yield proof(check.__name__.strip("_").upper(), "the ledger can be read", 0, [off])
