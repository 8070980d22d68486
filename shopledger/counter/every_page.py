"""Every part of the counter, in one list."""

from __future__ import annotations

from typing import Final

from flask import Blueprint

from shopledger.counter.pages import (
    bench,
    bills,
    door,
    finding,
    goods,
    helping,
    keeping,
    papers,
    people,
    personal_data,
    prescribing,
    prescription,
    setting_up,
    shop,
    today,
)

PAGES: Final[tuple[Blueprint, ...]] = (
    door.pages,
    today.pages,
    finding.pages,
    keeping.pages,
    helping.pages,
    people.pages,
    personal_data.pages,
    papers.pages,
    setting_up.pages,
    shop.pages,
    bench.pages,
    goods.pages,
    bills.pages,
    prescription.pages,
    prescribing.pages,
)
"""Every part of the counter."""
