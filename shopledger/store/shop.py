"""The shop's profile and settings: one row each, changed as a whole."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from shopledger.errors import NotSetUpError
from shopledger.ledger.catalogue import Design
from shopledger.ledger.parties import Shop
from shopledger.ledger.settings import Accounting, InventoryView, Settings
from shopledger.money.tax import TaxRounding
from shopledger.store.addresses import address_of, address_values
from shopledger.store.scales import HUNDREDTHS, parted, whole
from shopledger.store.transaction import Transaction


@dataclass(frozen=True, slots=True)
class ShopDesk:
    """The shop itself, as the ledger keeps it."""

    transaction: Transaction

    def exists(self) -> bool:
        """Tell whether the shop has been set up."""
        return self.transaction.row("shop", one=1) is not None

    def profile(self) -> Shop:
        """Give the shop as its papers name it."""
        row = self.transaction.row("shop", one=1)
        if row is None:
            raise NotSetUpError
        return Shop(
            name=row.name,
            address=address_of(row),
            phone=row.phone,
            ein=row.ein,
            email=row.email,
            npi=row.npi,
            receipt_wording=row.receipt_wording,
        )

    def save(self, shop: Shop) -> None:
        """Write the profile, over an earlier one if there is one."""
        values = {
            "name": shop.name,
            **address_values(shop.address),
            "phone": shop.phone,
            "ein": shop.ein,
            "email": shop.email,
            "npi": shop.npi,
            "receipt_wording": shop.receipt_wording,
        }
        self._write("shop", values)

    def settings(self) -> Settings:
        """Give what the owner has set; the defaults before anything is set."""
        row = self.transaction.row("shop_settings", one=1)
        if row is None:
            return Settings()
        return Settings(
            tax_rounding=TaxRounding(row.tax_rounding),
            progressive_share=row.progressive_share,
            screen_share=row.screen_share,
            blank_allowance=parted(row.blank_allowance, HUNDREDTHS),
            shipping_charge=row.shipping_charge,
            paper=row.paper,
            standard_bifocal=row.standard_bifocal,
            progressive_base=Design(row.progressive_base),
            standard_frame=row.standard_frame,
            accounting=Accounting(row.accounting),
            inventory_view=InventoryView(row.inventory_view),
        )

    def save_settings(self, settings: Settings) -> None:
        """Write the settings, over earlier ones if there are any."""
        values = {
            "tax_rounding": settings.tax_rounding.value,
            "progressive_share": settings.progressive_share,
            "screen_share": settings.screen_share,
            "blank_allowance": whole("blank allowance", settings.blank_allowance, HUNDREDTHS),
            "shipping_charge": settings.shipping_charge,
            "paper": settings.paper,
            "standard_bifocal": settings.standard_bifocal,
            "progressive_base": settings.progressive_base.value,
            "standard_frame": settings.standard_frame,
            "accounting": settings.accounting.value,
            "inventory_view": settings.inventory_view.value,
        }
        self._write("shop_settings", values)

    def _write(self, name: str, values: Mapping[str, object]) -> None:
        stamped = {**values, **self.transaction.stamp}
        if not self.transaction.change(name, stamped, one=1):
            self.transaction.add(name, {"one": 1, **stamped})
