"""Sitting down at the desk: which ledger is meant, and opening it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from shopledger.desk.context import Desk
from shopledger.errors import StoreError


@dataclass(frozen=True, slots=True)
class LedgerPlace:
    """Where a ledger is: its address, and the same fit to be shown."""

    url: str
    shown: str
    """The path of a file; a database's address without its password."""


def open_desk(given: str | None, operator: str, now: datetime, today: date) -> Desk:
    """Open the ledger that was named, or the one in the user's data folder."""
    from shopledger.store.opening import open_ledger  # noqa: PLC0415 - the database costs most of a start
    from shopledger.store.places import default_ledger_path, ledger_path, ledger_url  # noqa: PLC0415 - as above

    url = ledger_url(given)
    beside = (ledger_path(url) or default_ledger_path()).parent
    return Desk(open_ledger(url), operator, now, today, beside / "templates")


def ledger_place(given: str | None) -> LedgerPlace:
    """Say where the ledger is that was named, or the one in the user's data folder; nothing is opened."""
    from shopledger.store.places import ledger_url, place_of  # noqa: PLC0415 - as above

    url = ledger_url(given)
    return LedgerPlace(url, place_of(url))


def refuse_existing(given: str | None) -> None:
    """Refuse to set up where a ledger file is already, before anybody answers questions for nothing."""
    from shopledger.store.places import ledger_path, ledger_url  # noqa: PLC0415 - as above
    from shopledger.store.refusals import LedgerExistsError  # noqa: PLC0415 - as above

    url = ledger_url(given)
    path = ledger_path(url)
    if path is not None and path.exists() and not lacks_shop(url):
        raise LedgerExistsError(str(path))


def lacks_shop(url: str) -> bool:
    """Tell whether a set-up broke off here, after the ledger was made and before the shop was written into it."""
    from shopledger.store.opening import Ledger  # noqa: PLC0415 - as above
    from shopledger.store.places import ledger_path  # noqa: PLC0415 - as above
    from shopledger.store.revision import HEAD_REVISION  # noqa: PLC0415 - as above

    path = ledger_path(url)
    if path is not None and not path.is_file():
        return False
    # Not opened as usual, since that would bring an older ledger up to date.
    ledger = Ledger(url)
    try:
        if ledger.revision() != HEAD_REVISION:
            return False
        with ledger.reading() as work:
            return not work.shop.exists()
    except StoreError:
        return False
    finally:
        ledger.close()
