"""What this computer remembers of a ledger outside it: one small file for each subject, in the user's state folder.

A ledger cannot tell that an older file was put in its place, nor when somebody was last reminded of something on this
computer. That stands here. It helps and is never needed: what cannot be read is nothing, and what cannot be written
stops no command.
"""

from __future__ import annotations

import json
import os
from collections.abc import Mapping
from hashlib import sha256
from pathlib import Path
from typing import Any, Final

from platformdirs import user_state_path

from shopledger.errors import ShopledgerError
from shopledger.store.places import ledger_path, place_of

FOLDER_NAMED_BY: Final = "SHOPLEDGER_STATE"
"""The variable of the environment that names another folder."""


def state_folder() -> Path:
    """Give the folder where this computer remembers what belongs to no ledger."""
    named = os.environ.get(FOLDER_NAMED_BY)
    return Path(named) if named else user_state_path("shopledger", "shopledger", roaming=False)


def recall(url: str, subject: str) -> dict[str, Any]:
    """Give what was remembered of a ledger under a subject; nothing where it cannot be read."""
    try:
        found = json.loads(_file(url, subject).read_bytes())
    except (OSError, ValueError, RecursionError):
        return {}
    return found if isinstance(found, dict) else {}


def remember(url: str, subject: str, values: Mapping[str, Any]) -> bool:
    """Write down what is known of a ledger under a subject, whole, over what stood there; tells whether it stuck."""
    from shopledger.files.writing import write_whole  # noqa: PLC0415 - a look-up only recalls

    file = _file(url, subject)
    body = json.dumps({"ledger": place_of(url), **values}, ensure_ascii=False, indent=1)
    try:
        file.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        write_whole(body.encode(), file)
    except (OSError, UnicodeError, ShopledgerError):
        return False
    return True


def _file(url: str, subject: str) -> Path:
    """Name the file by the ledger's place, whichever way to it was typed."""
    path = ledger_path(url)
    place = os.path.realpath(path) if path else place_of(url)
    return state_folder() / sha256(os.fsencode(place)).hexdigest()[:24] / f"{subject}.json"
