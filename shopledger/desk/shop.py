"""Setting up the shop: a new ledger with the shop's name and numbers, and changing them later."""

from __future__ import annotations

from datetime import datetime

from shopledger.desk.context import Desk
from shopledger.desk.opening import lacks_shop
from shopledger.errors import NotSetUpError
from shopledger.ledger.parties import Shop
from shopledger.ledger.settings import Settings
from shopledger.store.opening import create_ledger, open_ledger


def set_up_shop(url: str, shop: Shop, settings: Settings, operator: str, now: datetime) -> None:
    """Make a new ledger and write the shop into it; a ledger that has its shop is never touched."""
    ledger = open_ledger(url) if lacks_shop(url) else create_ledger(url)
    try:
        with ledger.writing(operator, now) as work:
            work.shop.save(shop)
            work.shop.save_settings(settings)
            work.audit.note("set up the shop", shop.name)
    finally:
        ledger.close()


def change_shop(desk: Desk, shop: Shop, settings: Settings) -> None:
    """Write the shop's new profile and settings; papers already issued keep what they said."""
    with desk.writing() as work:
        work.shop.save(shop)
        work.shop.save_settings(settings)
        work.audit.note("changed the shop", shop.name)


def shop_and_settings(desk: Desk) -> tuple[Shop, Settings]:
    """Give the profile and settings, or say that the shop is not set up."""
    with desk.reading() as work:
        if not work.shop.exists():
            raise NotSetUpError
        return work.shop.profile(), work.shop.settings()
