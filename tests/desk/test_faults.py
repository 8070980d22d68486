"""At every touch of the disk something fails, or the power goes: all is there or nothing, and it is said truly."""

from __future__ import annotations

import contextlib
import os
import shutil
from collections.abc import Callable, Iterator, Mapping
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import pytest

from shopledger.desk.books.reports import export_period, export_plain
from shopledger.desk.certifying import print_certificate
from shopledger.desk.context import Desk
from shopledger.desk.lens_ordering import LensOrderRequest, place_lens_order
from shopledger.desk.outbox import print_waiting, waiting
from shopledger.desk.papers import print_of_order, print_statement
from shopledger.desk.receipts import issue_receipt, print_receipt, replace_receipt
from shopledger.desk.refusals import PaperUnnotedError, PaperWaitsError
from shopledger.desk.sales import record_sale
from shopledger.desk.shop import lacks_shop, set_up_shop
from shopledger.errors import ShopledgerError
from shopledger.ledger.books.period import Month
from shopledger.ledger.books.suppliers import Supplier
from shopledger.ledger.orders import Method, PaymentRequest
from shopledger.ledger.settings import Settings
from shopledger.store.opening import ledger_url, open_ledger
from tests.desk.books import everything
from tests.desk.conftest import DAY, NOW
from tests.desk.family import FAMILY_ORDER, inspected
from tests.desk.test_sales import TOTAL
from tests.faults import ERRORS, failing, faults, in_a_child, killed
from tests.shelf import CHILD, CUSTOMER, SHOP

Deed = Callable[[Desk, Path], object]

ISSUING: Mapping[str, Deed] = {
    "receipt": lambda desk, folder: issue_receipt(desk, 1, CHILD, folder),
    "replacement": lambda desk, folder: replace_receipt(desk, 1, "a correction", folder),
    "certificate": lambda desk, folder: print_certificate(desk, 1, folder),
    "lens order": lambda desk, folder: place_lens_order(desk, LensOrderRequest(2, "Brightwater", again="lost"), folder),
}
"""What takes a number."""
WRITING: Mapping[str, Deed] = {
    "copy": lambda desk, folder: print_receipt(desk, 1, folder),
    "statement": lambda desk, folder: print_statement(desk, 1, folder),
    "confirmation": lambda desk, folder: print_of_order(desk, "confirmation", 1, folder),
    "workbook": lambda desk, folder: export_period(desk, Month(2026, 3).days, folder),
    "sheets": lambda desk, folder: export_plain(desk, Month(2026, 3).days, folder),
}
"""What takes none."""


@pytest.fixture(scope="module")
def lived(furnished_file: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Sell, inspect and issue a receipt in one ledger to copy from."""
    folder = tmp_path_factory.mktemp("lived")
    path = folder / "ledger.db"
    shutil.copy(furnished_file, path)
    with closing(open_ledger(ledger_url(str(path)))) as ledger:
        desk = Desk(ledger, "tester", NOW, DAY)
        record_sale(desk, replace(FAMILY_ORDER, payments=(PaymentRequest(TOTAL, Method.CARD, "4242"),)))
        inspected(desk, 1)
        with desk.writing() as work:
            work.suppliers.add(Supplier("Brightwater Lens Laboratory", "A-77", "555-0164"))
        issue_receipt(desk, 1, CUSTOMER, folder)
    return path


@pytest.fixture(autouse=True)
def _own_temporary_files(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Let what a killed run leaves among the temporary files lie in the test's own folder."""
    folder = tmp_path / "temporary"
    folder.mkdir()
    monkeypatch.setattr("tempfile.tempdir", str(folder))


class Stand:
    """A copy of the ledger for one try, and the folder that papers go to."""

    def __init__(self, lived: Path, place: Path) -> None:
        self.url = ledger_url(str(place / "ledger.db"))
        self.folder = place / "papers"
        self.folder.mkdir(parents=True)
        shutil.copy(lived, place / "ledger.db")

    def with_desk(self, deed: Deed) -> object:
        """Open the ledger, do something, and close it."""
        with closing(open_ledger(self.url)) as ledger:
            return deed(Desk(ledger, "tester", NOW, DAY), self.folder)

    @property
    def papers(self) -> list[str]:
        """What stands in the folder under a name of its own."""
        return sorted(each.name for each in self.folder.iterdir() if not each.name.startswith("."))

    def holds(self, before: object) -> None:
        """Check that every paper that is stored is in its place or waits, and can then be printed."""
        left = self.with_desk(lambda desk, _: waiting(desk))
        assert isinstance(left, tuple)
        if self.with_desk(lambda desk, _: everything(desk)) == before:
            assert not left
            return
        assert left or self.papers
        for paper in left:
            self.with_desk(lambda desk, folder, paper=paper: print_waiting(desk, paper, folder))  # type: ignore[misc]
        assert self.papers
        assert self.with_desk(lambda desk, _: waiting(desk)) == ()


def stands(lived: Path, tmp_path: Path) -> Iterator[tuple[int, Stand]]:
    """Give a place of its own for each try, numbered from 1."""
    for number in range(1, 100):
        yield number, Stand(lived, tmp_path / str(number))


def tries(deed: Deed, lived: Path, tmp_path: Path) -> int:
    """Count how often a deed touches the disk."""
    stand = Stand(lived, tmp_path / "whole")
    with faults(0, killed) as counted:
        stand.with_desk(deed)
    return counted.count


@pytest.mark.long
@pytest.mark.parametrize("number", ERRORS, ids=[os.strerror(each).split(" (")[0] for each in ERRORS])
@pytest.mark.parametrize("name", ISSUING)
def test_a_fault_while_a_paper_is_issued(lived: Path, tmp_path: Path, name: str, number: int) -> None:
    """Before the ledger's commit nothing is stored; after it the paper waits and is told; never anything between."""
    deed = ISSUING[name]
    most = tries(deed, lived, tmp_path)
    before = Stand(lived, tmp_path / "before").with_desk(lambda desk, _: everything(desk))
    assert most >= 4
    for at in range(1, most + 1):
        stand = Stand(lived, tmp_path / str(at))
        with pytest.raises(ShopledgerError) as told, faults(at, failing(number)):
            stand.with_desk(deed)
        stored = stand.with_desk(lambda desk, _: everything(desk)) != before
        assert stored == isinstance(told.value, PaperWaitsError | PaperUnnotedError)
        if not stored:
            assert list(stand.folder.iterdir()) == []
        stand.holds(before)


@pytest.mark.long
@pytest.mark.parametrize("number", ERRORS, ids=[os.strerror(each).split(" (")[0] for each in ERRORS])
@pytest.mark.parametrize("name", WRITING)
def test_a_fault_while_a_file_is_written(lived: Path, tmp_path: Path, name: str, number: int) -> None:
    """One sentence, no half file, no draft."""
    deed = WRITING[name]
    for at in range(1, tries(deed, lived, tmp_path) + 1):
        stand = Stand(lived, tmp_path / str(at))
        with pytest.raises(ShopledgerError), faults(at, failing(number)):
            stand.with_desk(deed)
        assert not [each for each in stand.folder.iterdir() if each.name.endswith(".draft")]
        stand.with_desk(deed)


@pytest.mark.long
@pytest.mark.skipif(os.name != "posix", reason="signals of this kind are POSIX's")
@pytest.mark.parametrize("name", [*ISSUING, *WRITING])
def test_a_kill_at_every_touch_of_the_disk(lived: Path, tmp_path: Path, name: str) -> None:
    """The ledger opens, what is stored has its paper or waits for it, and the deed can be done again."""
    deed = {**ISSUING, **WRITING}[name]
    before = Stand(lived, tmp_path / "before").with_desk(lambda desk, _: everything(desk))
    for at in range(1, tries(deed, lived, tmp_path) + 1):
        stand = Stand(lived, tmp_path / str(at))

        def until_killed(stand: Stand = stand, at: int = at) -> None:
            with faults(at, killed):
                stand.with_desk(deed)

        assert in_a_child(until_killed) == -9
        if name in ISSUING:
            stand.holds(before)
        else:
            stand.with_desk(deed)


@pytest.mark.long
@pytest.mark.skipif(os.name != "posix", reason="signals of this kind are POSIX's")
def test_a_set_up_that_breaks_off_anywhere_can_be_done_again(tmp_path: Path) -> None:
    """By a fault or by a kill, at every touch of the disk: the place is free, or the whole ledger stands there."""

    def set_up(place: Path) -> str:
        url = ledger_url(str(place / "shop" / "ledger.db"))
        set_up_shop(url, SHOP, Settings(), "tester", NOW)
        return url

    with faults(0, killed) as counted:
        set_up(tmp_path / "whole")
    assert counted.count >= 4
    for at in range(1, counted.count + 1):
        failed, broken = tmp_path / f"failed {at}", tmp_path / f"killed {at}"
        # A disk without second names is no reason to fail; whatever fails is told and leaves the place free.
        made = False
        with contextlib.suppress(ShopledgerError), faults(at, failing(ERRORS[0])):
            set_up(failed)
            made = True
        assert (failed / "shop" / "ledger.db").exists() == made

        def until_killed(at: int = at, broken: Path = broken) -> None:
            with faults(at, killed):
                set_up(broken)

        assert in_a_child(until_killed) == -9
        for place in (failed, broken):
            url = ledger_url(str(place / "shop" / "ledger.db"))
            if not (place / "shop" / "ledger.db").exists():
                set_up(place)
            assert not lacks_shop(url)
            with closing(open_ledger(url)) as ledger, ledger.reading() as work:
                assert work.shop.profile() == SHOP
