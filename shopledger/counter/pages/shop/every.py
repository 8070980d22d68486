"""All pages of the shop itself: importing them makes them known."""

from __future__ import annotations

from shopledger.counter.pages.shop import (
    backup_keys,
    backups,
    catalogue,
    offers,
    operators,
    overview,
    profile,
    rates,
    records,
    wording,
)
from shopledger.counter.pages.shop.part import pages

__all__ = [
    "backup_keys",
    "backups",
    "catalogue",
    "offers",
    "operators",
    "overview",
    "pages",
    "profile",
    "rates",
    "records",
    "wording",
]
