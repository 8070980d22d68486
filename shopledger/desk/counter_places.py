"""What the counter in the browser needs to know of this computer: the secret of a ledger's counter."""

from __future__ import annotations

import secrets
from typing import Final

from shopledger.errors import SetupError
from shopledger.store.outside import recall, remember

SUBJECT: Final = "counter"
SECRET_BYTES: Final = 32


class NoSecretError(SetupError):
    """The counter's secret cannot be remembered."""

    sentence = (
        "the counter's secret could not be kept in this computer's folder for such things. Free some room, or let this "
        "user write there."
    )


def counter_secret(url: str) -> bytes:
    """Give the secret that only this user's programs on this computer know, made when it is first asked for."""
    for _ in range(2):
        found = recall(url, SUBJECT).get("secret")
        if isinstance(found, str) and len(found) == 2 * SECRET_BYTES:
            return bytes.fromhex(found)
        remember(url, SUBJECT, {"secret": secrets.token_hex(SECRET_BYTES)})
    raise NoSecretError
