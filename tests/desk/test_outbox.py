"""A number is final only with its paper, or the paper waits and is told: nothing in between, however it broke off."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import pytest

from shopledger.desk.certifying import print_certificate, print_issued
from shopledger.desk.context import Desk
from shopledger.desk.drafts import open_drafts
from shopledger.desk.issuing import issue_all_open
from shopledger.desk.lens_ordering import LensOrderRequest, place_lens_order
from shopledger.desk.outbox import left_waiting, print_waiting, waiting
from shopledger.desk.receipt_lookups import receipt_numbered
from shopledger.desk.receipts import issue_receipt, print_receipt, replace_receipt
from shopledger.desk.refusals import NothingWaitsError, PaperLaterError, PaperUnnotedError, PaperWaitsError
from shopledger.desk.reorder_record import reorder
from shopledger.desk.sales import record_sale
from shopledger.errors import ShopledgerError
from shopledger.ledger.books.suppliers import Supplier
from shopledger.ledger.orders import Method, PaymentRequest
from shopledger.ledger.papers.issued import IssuedPaper, WaitingPaper
from shopledger.store.opening import open_ledger
from shopledger.store.refusals import LedgerBusyError
from shopledger.store.waiting import WaitingPapers
from tests.desk.books import everything, on_both, words_in
from tests.desk.conftest import DAY
from tests.desk.family import ASKED, FAMILY_ORDER, inspected, later
from tests.desk.test_sales import TOTAL
from tests.shelf import CHILD

RECEIPT = WaitingPaper(IssuedPaper.RECEIPT, 1)


@pytest.fixture
def paid(desk: Desk) -> Desk:
    """Sell the family order, and take the money."""
    record_sale(desk, replace(FAMILY_ORDER, payments=(PaymentRequest(TOTAL, Method.CARD, "4242"),)))
    return desk


@pytest.fixture
def no_rename(monkeypatch: pytest.MonkeyPatch) -> Callable[[], None]:
    """Let no file take its place until the function that is given is called."""

    def refuse(_self: Path, _to: Path) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "replace", refuse)
    return monkeypatch.undo


@on_both
def test_a_receipt_whose_paper_cannot_take_its_place_waits(
    paid: Desk, tmp_path: Path, no_rename: Callable[[], None]
) -> None:
    """It is told with what to type; the first paper is the original still, however late it comes."""
    folder = tmp_path / "papers"
    folder.mkdir()
    with pytest.raises(
        PaperWaitsError, match=r"receipt 1 is stored, its paper is not yet: .* the disk is full"
    ) as told:
        issue_receipt(paid, 1, CHILD, folder)
    assert "'shopledger paper again receipt 1'" in str(told.value)
    assert list(folder.iterdir()) == []
    assert waiting(paid) == (RECEIPT,)
    no_rename()
    (file,) = print_waiting(paid, RECEIPT, folder)
    assert file.name == "receipt-00001.pdf"
    assert "copy" not in words_in(file).lower()
    assert (waiting(paid), receipt_numbered(paid, 1).prints) == ((), 1)
    assert print_receipt(paid, 1, folder).file.name == "receipt-00001-copy.pdf"


@on_both
def test_where_the_paper_cannot_be_written_nothing_is_stored(
    paid: Desk, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A full disk is met before the ledger's commit: no number, no paper, no draft."""
    before = everything(paid)

    def full(_handle: int) -> None:
        raise OSError(28, "No space left on device")

    folder = tmp_path / "papers"
    folder.mkdir()
    monkeypatch.setattr("os.fsync", full)
    with pytest.raises(ShopledgerError, match=r"the disk is full\. Free some room"):
        issue_receipt(paid, 1, CHILD, folder)
    monkeypatch.undo()
    assert everything(paid) == before
    assert list(folder.iterdir()) == []


def test_a_certificate_and_a_lens_order_wait_too(paid: Desk, tmp_path: Path, no_rename: Callable[[], None]) -> None:
    """What is issued under a number is found again; its paper is then the same as any later print."""
    inspected(paid, 1)
    with pytest.raises(PaperWaitsError, match="paper again inspection-record 1'"):
        print_certificate(paid, 1, tmp_path)
    certificate = WaitingPaper(IssuedPaper.CERTIFICATE, 1)
    with paid.writing() as work:
        work.suppliers.add(Supplier("Brightwater Lens Laboratory", "A-77", "555-0164"))
    with pytest.raises(PaperWaitsError, match="paper again lens-order 1'"):
        place_lens_order(paid, LensOrderRequest(1, "Brightwater", again="lost in the post"), tmp_path)
    order = WaitingPaper(IssuedPaper.LENS_ORDER, 1)
    assert waiting(paid) == (certificate, order)
    no_rename()
    (file,) = print_waiting(paid, certificate, tmp_path)
    body = file.read_bytes()
    assert print_issued(paid, 1, tmp_path).file.read_bytes() == body
    assert [each.name for each in print_waiting(paid, order, tmp_path)] == [
        "lens-order-00001.txt",
        "lens-order-00001.pdf",
    ]
    assert waiting(paid) == ()


def test_a_paper_that_does_not_wait_is_not_made_again(paid: Desk, tmp_path: Path) -> None:
    """A second original would be one too many; the sentence says how a copy is printed."""
    issue_receipt(paid, 1, CHILD, tmp_path)
    before = everything(paid)
    with pytest.raises(NothingWaitsError, match=r"receipt 1 does not wait .* 'shopledger receipt print 1'"):
        print_waiting(paid, RECEIPT, tmp_path)
    for kind in (IssuedPaper.CERTIFICATE, IssuedPaper.LENS_ORDER):
        with pytest.raises(NothingWaitsError):
            print_waiting(paid, WaitingPaper(kind, 1), tmp_path)
    assert everything(paid) == before


def test_a_paper_in_its_place_that_cannot_be_noted_is_told(
    paid: Desk, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Then it goes on waiting, and nobody hears that nothing was stored."""

    def busy(*_: object) -> None:
        raise LedgerBusyError

    monkeypatch.setattr(WaitingPapers, "remove", busy)
    with pytest.raises(PaperUnnotedError, match="receipt 1 is stored and its paper is in its place"):
        issue_receipt(paid, 1, CHILD, tmp_path)
    monkeypatch.undo()
    assert (tmp_path / "receipt-00001.pdf").is_file()
    assert waiting(paid) == (RECEIPT,)


def test_what_nobody_needs_any_more_does_not_wait(paid: Desk, tmp_path: Path, no_rename: Callable[[], None]) -> None:
    """A receipt whose place another took needs no first paper."""
    with pytest.raises(PaperWaitsError):
        issue_receipt(paid, 1, CHILD, tmp_path)
    no_rename()
    replace_receipt(paid, 1, "a correction", tmp_path)
    assert waiting(paid) == ()


def test_all_open_prints_what_waits_first(paid: Desk, tmp_path: Path, no_rename: Callable[[], None]) -> None:
    """Whoever issues all that is open gets the originals that are still to come."""
    with pytest.raises(PaperWaitsError):
        issue_receipt(paid, 1, CHILD, tmp_path)
    no_rename()
    names = [printed.file.name for printed in issue_all_open(paid, tmp_path).printed]
    assert names == ["receipt-00001.pdf", "receipt-00002.pdf"]
    assert waiting(paid) == ()


def test_a_draft_whose_record_cannot_take_its_place_is_told(
    returned: Desk, tmp_path: Path, no_rename: Callable[[], None]
) -> None:
    """A reorder's draft has no paper that waits; the sentence says that the draft is there."""
    with pytest.raises(PaperLaterError, match=r"draft 1 is stored, its paper is not: .* the disk is full"):
        reorder(returned, ASKED, tmp_path)
    no_rename()
    assert [draft.number for draft in open_drafts(returned)] == [1]
    assert waiting(returned) == ()


def test_a_run_reminds_only_of_what_waited_before_it_began(
    paid: Desk, tmp_path: Path, no_rename: Callable[[], None]
) -> None:
    """Whoever prints at the same moment is no reason to worry anybody."""
    with pytest.raises(PaperWaitsError):
        issue_receipt(paid, 1, CHILD, tmp_path)
    no_rename()
    assert left_waiting(paid) == ()
    assert left_waiting(later(paid, DAY.replace(day=3))) == (RECEIPT,)


@on_both
def test_prints_at_the_same_moment_are_one_original_and_copies(paid: Desk, tmp_path: Path) -> None:
    """Each takes its number where the ledger counts it, whoever comes first."""
    issue_unprinted(paid)

    def print_one(number: int) -> str:
        folder = tmp_path / str(number)
        folder.mkdir()
        with closing(open_ledger(paid.ledger.url)) as ledger:
            return print_receipt(replace(paid, ledger=ledger), 1, folder).file.name

    with ThreadPoolExecutor(3) as threads:
        names = sorted(threads.map(print_one, range(3)))
    assert names == ["receipt-00001-copy.pdf", "receipt-00001-copy.pdf", "receipt-00001.pdf"]
    assert sum("COPY" in words_in(file) for file in tmp_path.glob("*/*.pdf")) == 2
    assert receipt_numbered(paid, 1).prints == 3


def issue_unprinted(desk: Desk) -> None:
    """Issue a receipt as a ledger of before may hold it: with its number, and without any print."""
    from shopledger.desk import receipts

    with desk.writing() as work:
        account = work.orders.account(1)
        person = work.customers.pick_wearer(account.order.customer_number, CHILD)
        receipts._freeze(work, desk, account, person, None, archive=False)


KILLED = """
import os, signal, sys
from contextlib import closing
from datetime import UTC, date, datetime
from pathlib import Path
from shopledger.desk.context import Desk
from shopledger.desk.receipts import (issue_receipt)
from shopledger.files.writing import Sheaf
from shopledger.store.opening import open_ledger

Sheaf.deliver = lambda self: os.kill(os.getpid(), signal.SIGKILL)
desk = Desk(open_ledger(sys.argv[1]), "tester", datetime(2026, 3, 2, 10, 30, tzinfo=UTC), date(2026, 3, 2))
issue_receipt(desk, 1, sys.argv[2], Path(sys.argv[3]))
"""


@pytest.mark.skipif(os.name != "posix", reason="signals of this kind are POSIX's")
@on_both
def test_a_kill_between_the_ledger_and_the_paper_is_found(paid: Desk, tmp_path: Path) -> None:
    """The paper waits, its draft is no paper, and it can be printed as the original."""
    folder = tmp_path / "papers"
    folder.mkdir()
    words = [sys.executable, "-c", KILLED, paid.ledger.url, CHILD, str(folder)]
    ended = subprocess.run(words, check=False, capture_output=True, text=True)
    assert ended.returncode == -signal.SIGKILL, ended.stderr
    assert [each.suffix for each in folder.iterdir()] == [".draft"]
    assert waiting(paid) == (RECEIPT,)
    (file,) = print_waiting(paid, RECEIPT, folder)
    assert file.name == "receipt-00001.pdf"
