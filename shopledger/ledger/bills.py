"""Suppliers' bills: goods for stock, lenses and lab work for jobs, expenses, and freight that goods carry."""

from __future__ import annotations

from enum import Enum


class BillLineKind(Enum):
    """What a line of a bill is for."""

    STOCK = "stock"
    JOB = "job"
    EXPENSE = "expense"
    FREIGHT = "freight"
    """Freight in, and other cost that the goods of the bill carry together."""
