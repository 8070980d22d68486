"""Where papers go that are sent nowhere else: a folder of the shop's among the owner's documents, one for each month.

What is printed in a month lies together, under the names that papers have everywhere: what it is and its number, as in
`receipt-00012.pdf`, and nobody's name. The folder is the computer's affair and not the ledger's, which may be opened on
another one.
"""

from __future__ import annotations

import os
from datetime import date
from pathlib import Path
from typing import Final

from platformdirs import user_documents_path

FOLDER_NAMED_BY: Final = "SHOPLEDGER_PAPERS"
"""The variable of the environment that names another folder."""
_NAME: Final = "Shop papers"


def all_papers() -> Path:
    """Give the folder of the shop's papers."""
    named = os.environ.get(FOLDER_NAMED_BY, "").strip()
    return Path(named).expanduser().absolute() if named else user_documents_path() / _NAME


def papers_of(day: date) -> Path:
    """Give the folder for what is printed on a day: that of its month."""
    return all_papers() / f"{day:%Y-%m}"
