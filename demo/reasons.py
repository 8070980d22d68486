"""Why a start could not go on: told apart by an error of the system or by what pip says, each with what to do."""

from __future__ import annotations

import errno
import re
import shutil
from pathlib import Path

NEEDED = 600
"""How many megabytes the larger kind of environment takes, with what pip wants beside it."""

NETWORK = (
    "NewConnectionError|ConnectTimeoutError|ReadTimeoutError|NameResolutionError|ProxyError|SSLError|"
    "Max retries exceeded|Name or service not known|name resolution|getaddrinfo failed|Network is unreachable|"
    "CERTIFICATE_VERIFY_FAILED|Read timed out|Connection (?:refused|reset|aborted|broken|timed out)"
)
NOTHING = (
    "No matching distribution found|Could not find a version|requires a different Python|"
    "Failed to build|Failed building wheel|subprocess-exited-with-error|metadata-generation-failed"
)

SAID = {
    "hash": "DO NOT MATCH THE HASHES|Expected sha256",
    "space": "No space left on device|Disk quota exceeded|not enough space on the disk",
    "network": NETWORK,
    "nothing for it": NOTHING,
    "permission": "Permission denied|Access is denied|Read-only file system",
}
"""What pip says for each reason; an earlier one brings later ones with it."""


def why(lines: str) -> str:
    """Tell by what pip says why it failed; nothing where it says something else."""
    return next((reason for reason, words in SAID.items() if re.search(words, lines)), "")


def failed(what: str, lines: str, root: Path) -> str:
    """Say why a step failed, by the lines that it left above."""
    reason = why(lines)
    if reason == "hash":
        return (
            f"{what}: a file from the package index is not the one whose hash is locked (see above), and was not "
            f"installed. Try again later or from another index; if it stays so, please report it."
        )
    if reason == "network":
        return (
            f"{what}: the package index could not be reached (see above). Connect this machine, or tell pip of your "
            f"proxy or index (pip config set global.proxy or global.index-url), and run this again."
        )
    if reason == "permission":
        return _no_permission(root)
    if reason == "space" or (not reason and _free(root) < NEEDED // 20):
        return _no_space(root)
    return f"{what}; the lines above say why. Mend that and run this again."


def refused(error: OSError, root: Path) -> str:
    """Say what the system refused."""
    if error.errno in {errno.ENOSPC, getattr(errno, "EDQUOT", errno.ENOSPC)}:
        return _no_space(root)
    if isinstance(error, PermissionError) or error.errno == errno.EROFS:
        return _no_permission(root)
    return f"The virtual environment {root / '.venv'} could not be made: {error}. Mend that and run this again."


def _no_space(root: Path) -> str:
    return (
        f"There is not enough space for {root / '.venv'}, or for temporary files: {_free(root)} MB are free there. "
        f"Make room for {NEEDED} MB, and run this again."
    )


def _no_permission(root: Path) -> str:
    return (
        f"The folder {root} (or .venv in it) cannot be written by you: it is read-only, in use, or belongs to somebody "
        f"else. Copy it into a folder of your own without its .venv, and run this from there."
    )


def _free(folder: Path) -> int:
    """Give how many megabytes are free on the disk of a folder."""
    try:
        return shutil.disk_usage(str(folder)).free // 2**20
    except OSError:
        return NEEDED
