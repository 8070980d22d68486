"""Looking at suppliers' bills, and getting out the file that was kept of one."""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING

from shopledger.errors import RefusedError
from shopledger.files import written_whole
from shopledger.ledger.numbers import number_of

if TYPE_CHECKING:
    from shopledger.desk.context import Desk
    from shopledger.ledger.books.bills import BillAccount


def bills(desk: Desk, supplier: str | None = None, *, open_only: bool = False) -> tuple[BillAccount, ...]:
    """Give all bills or only the open ones, of one supplier or of all, newest first."""
    with desk.reading() as work:
        whose = 0 if supplier is None else number_of(work.suppliers.pick(supplier))
        found = work.bills.accounts(whose)
        return tuple(account for account in found if account.balance) if open_only else found


def bill_account(desk: Desk, number: int) -> BillAccount:
    """Give a bill with what happened to it."""
    with desk.reading() as work:
        return work.bills.account(number)


def kept_name(desk: Desk, account: BillAccount) -> str:
    """Give the name of the file that was kept of a bill; none is empty."""
    if account.bill.file_sha256 is None:
        return ""
    with desk.reading() as work:
        return work.kept_files.get(account.bill.file_sha256).name


def write_kept_file(desk: Desk, number: int, folder: Path) -> Path:
    """Write the file that was kept of a bill into a folder, byte for byte; gives its path."""
    with desk.reading() as work:
        sha256 = work.bills.account(number).bill.file_sha256
        if sha256 is None:
            hint = "A file is kept with --file when the bill is recorded."
            raise RefusedError("bill", number, "no file was kept of it", hint)
        kept, body = work.kept_files.get(sha256), work.kept_files.body(sha256)
    # The name was typed by somebody else once, so nothing of it may lead out of the folder.
    target = folder / f"bill-{number}-{re.sub(r'[^A-Za-z0-9._-]+', '-', kept.name)[-100:]}"
    with written_whole(target) as draft:
        draft.write_bytes(body)
    return target
