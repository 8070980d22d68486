"""Setting up the shop in a new ledger, and changing what is known of it."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import closing
from datetime import datetime
from typing import TYPE_CHECKING

from shopledger.desk.context import Desk
from shopledger.desk.naming import rename
from shopledger.errors import NotSetUpError, StoreError
from shopledger.ledger.audit import Deed, Subject
from shopledger.ledger.names import NameChange, Named
from shopledger.store.ledger import Ledger
from shopledger.store.opening import FirstRows, create_ledger, open_ledger
from shopledger.store.places import ledger_path, ledger_url, place_of
from shopledger.store.refusals import LedgerExistsError, NotALedgerError
from shopledger.store.revision import HEAD_REVISION

if TYPE_CHECKING:
    from shopledger.ledger.parties import Shop
    from shopledger.ledger.settings import Settings
    from shopledger.store.work import UnitOfWork


def refuse_existing(given: str | None) -> None:
    """Refuse to set up where a ledger file is already, before anybody answers questions for nothing."""
    url = ledger_url(given)
    path = ledger_path(url)
    if path is not None and path.exists() and not lacks_shop(url):
        raise LedgerExistsError(str(path))


def is_set_up(url: str) -> bool:
    """Tell whether there is a ledger with its shop."""
    path = ledger_path(url)
    if path is not None and not path.is_file():
        return False
    ledger = Ledger(url)
    try:
        with ledger.reading() as work:
            return work.shop.exists()
    except StoreError:
        return False
    finally:
        ledger.close()


def lacks_shop(url: str) -> bool:
    """Tell whether a set-up broke off here, after the ledger was made and before the shop was written into it."""
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


def awaits_shop(url: str) -> bool:
    """Tell whether the shop is still to be set up here: there is no ledger yet, or one that has no shop."""
    path = ledger_path(url)
    if path is not None:
        return not path.exists() or lacks_shop(url)
    with closing(Ledger(url)) as ledger:
        try:
            ledger.revision()
        except NotALedgerError:
            return True
    return lacks_shop(url)


def set_up_shop(url: str, shop: Shop, settings: Settings, operator: str, now: datetime) -> None:
    """Make a new ledger with the shop in it, whole or not at all; a ledger that has its shop is never touched."""

    def write(work: UnitOfWork) -> None:
        if work.shop.exists():
            raise LedgerExistsError(place_of(url))
        work.shop.save(shop)
        work.shop.save_settings(settings)
        work.audit.note(Deed.SET_UP_SHOP, Subject.SHOP)

    if not lacks_shop(url):
        create_ledger(url, FirstRows(operator, now, write)).close()
        return
    ledger = open_ledger(url)
    try:
        with ledger.writing(operator, now) as work:
            write(work)
    finally:
        ledger.close()


def change_shop(desk: Desk, change: Callable[[Shop, Settings], tuple[Shop, Settings]]) -> tuple[Shop, Settings]:
    """Write what is new about the shop and its settings; papers already issued keep what they said."""
    with desk.writing() as work:
        before = work.shop.profile()
        shop, settings = change(before, work.shop.settings())
        work.shop.save(shop)
        rename(work, desk, NameChange(Named.SHOP, before.name, shop.name))
        work.shop.save_settings(settings)
        return shop, settings


def shop_and_settings(desk: Desk) -> tuple[Shop, Settings]:
    """Give the profile and settings, or say that the shop is not set up."""
    with desk.reading() as work:
        if not work.shop.exists():
            raise NotSetUpError
        return work.shop.profile(), work.shop.settings()
