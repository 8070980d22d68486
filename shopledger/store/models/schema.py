"""All tables together: the metadata that migrations are compared with."""

from __future__ import annotations

from typing import Final

from sqlalchemy import MetaData

from shopledger.store.models import (
    catalogue,
    inspections,
    journal,
    lens_orders,
    orders,
    parties,
    periods,
    prescriptions,
    receipts,
    settings,
    spending,
    stock,
    traces,
)
from shopledger.store.models.base import Base

AREAS: Final = (
    *(settings, parties, catalogue, prescriptions, traces, orders, receipts, journal, stock, inspections),
    *(spending, periods, lens_orders),
)
"""The modules whose import registers every table."""

METADATA: Final[MetaData] = Base.metadata
