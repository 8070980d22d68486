"""The shop's profile and settings: one row each, changed as a whole."""

from __future__ import annotations

from typing import Final, TypeVar

from shopledger.errors import NotSetUpError
from shopledger.ledger.audit import Subject
from shopledger.ledger.parties import Address, Shop
from shopledger.ledger.settings import Settings
from shopledger.store.audit import Audit
from shopledger.store.records import Fields, Record
from shopledger.store.tables.settings import shop, shop_settings
from shopledger.store.transaction import Area

T = TypeVar("T", Shop, Settings)

SHOP: Final = Record(Shop, shop, {"address": Fields(Address, shop)}, also=("one",))
SETTINGS: Final = Record(Settings, shop_settings, also=("one",))


class ShopDesk(Area):
    """The shop itself, as the ledger keeps it."""

    def exists(self) -> bool:
        """Tell whether the shop has been set up."""
        return self.transaction.one(SHOP, {shop.c.one: 1}) is not None

    def profile(self) -> Shop:
        """Give the shop as its papers name it."""
        found = self.transaction.one(SHOP, {shop.c.one: 1})
        if found is None:
            raise NotSetUpError
        return found

    def save(self, shop: Shop) -> None:
        """Write the profile, over an earlier one if there is one."""
        self._write(SHOP, shop)

    def settings(self) -> Settings:
        """Give what the owner has set; the defaults before anything is set."""
        return self.transaction.one(SETTINGS, {shop_settings.c.one: 1}) or Settings()

    def save_settings(self, settings: Settings) -> None:
        """Write the settings, over earlier ones if there are any."""
        self._write(SETTINGS, settings)

    def _write(self, record: Record[T], value: T) -> None:
        before = self.transaction.one(record, {record.table.c.one: 1})
        if before is None:
            self.transaction.put(record, value, one=1)
            return
        if before != value:
            self.transaction.rewrite(record, value, {record.table.c.one: 1})
            Audit(self.transaction).changed(Subject.SHOP, None, before, value)
