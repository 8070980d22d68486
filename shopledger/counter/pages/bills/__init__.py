"""Suppliers and their bills: recorded line by line, paid, changed, sent back."""

from __future__ import annotations

from shopledger.counter.pages.bills import card, listing, recording, suppliers
from shopledger.counter.pages.bills.part import pages

__all__ = ["card", "listing", "pages", "recording", "suppliers"]
