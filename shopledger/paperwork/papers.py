"""Every paper that the program prints."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any, Final

from shopledger.paperwork.backup_key import BACKUP_KEY
from shopledger.paperwork.bank_month import BANK_MONTH
from shopledger.paperwork.certificate import CERTIFICATE
from shopledger.paperwork.job_sheet import JOB_SHEET
from shopledger.paperwork.lens_order import LENS_ORDER
from shopledger.paperwork.order_papers import ORDER_PAPERS, QUOTE
from shopledger.paperwork.paper import Paper
from shopledger.paperwork.receipt import RECEIPT
from shopledger.paperwork.reorder import REORDER
from shopledger.paperwork.statement import STATEMENT
from shopledger.paperwork.worksheet import WORKSHEET
from shopledger.paperwork.year import YEAR

_ALL: Final[tuple[Paper[Any], ...]] = (
    RECEIPT, STATEMENT, WORKSHEET, *ORDER_PAPERS.values(), QUOTE, YEAR, CERTIFICATE, JOB_SHEET, LENS_ORDER, REORDER,
    BACKUP_KEY, BANK_MONTH,
)  # fmt: skip

PAPERS: Final[Mapping[str, Paper[Any]]] = MappingProxyType({paper.key: paper for paper in _ALL})
"""By the name of the wording file, those of a sale first."""
