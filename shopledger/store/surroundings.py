"""What around a ledger's file endangers it: synced folders, copies made of a conflict, rights that let others in."""

from __future__ import annotations

import contextlib
import os
import re
import stat
from collections.abc import Iterator
from pathlib import Path
from typing import Final, NamedTuple

from shopledger.shell import typed

SYNCED_NAMES: Final = (
    *("dropbox", "onedrive", "google drive", "googledrive", "icloud drive", "com~apple~clouddocs"),
    *("nextcloud", "owncloud", "syncthing"),
)
"""How folders begin that some program copies elsewhere while files in them are open."""
SYNCED_MARKS: Final = (".stfolder", ".dropbox", ".sync", ".owncloudsync.log", ".nextcloudsync.log")
"""What such a program leaves in its topmost folder."""
_CONFLICT: Final = re.compile(r"\(.*conflict|conflicted copy|sync-conflict|-conflict-", re.IGNORECASE)


class Danger(NamedTuple):
    """One thing to be told once: a code that stays the same, and the sentence."""

    code: str
    sentence: str


def dangers(ledger: Path) -> tuple[Danger, ...]:
    """Give what endangers a ledger's file where it lies; what cannot be looked at is passed over."""
    found: list[Danger] = []
    for look in (_synced, _conflicts, _open_to_others):
        with contextlib.suppress(OSError):
            found += look(ledger)
    return tuple(found)


def _synced(ledger: Path) -> Iterator[Danger]:
    for folder in ledger.resolve().parents:
        named = folder.name.casefold().startswith(SYNCED_NAMES)
        if named or any((folder / mark).exists() for mark in SYNCED_MARKS):
            yield Danger(
                f"synced {folder}",
                f"The ledger lies in {folder}, which is copied elsewhere while it is open: it may be torn apart. Move "
                "it to a folder of this computer alone, and let copies go there with 'shopledger backup place add'.",
            )
            return


def _conflicts(ledger: Path) -> Iterator[Danger]:
    for name in sorted(each.name for each in ledger.parent.iterdir()):
        if name.startswith(ledger.stem) and name != ledger.name and _CONFLICT.search(name):
            yield Danger(
                f"conflict {name}",
                f"Beside the ledger lies {name}: two computers wrote at once, and one of both files lacks the other's "
                "entries. Compare the heads with 'shopledger --ledger FILE verify' before you go on.",
            )


def _open_to_others(ledger: Path) -> Iterator[Danger]:
    if os.name != "posix":
        return
    if stat.S_IMODE(ledger.stat().st_mode) & 0o077:
        yield Danger(
            "file mode", f"Others on this computer may read the ledger. Type: {typed(('chmod', '600', str(ledger)))}"
        )
    folder = ledger.absolute().parent
    mode = stat.S_IMODE(folder.stat().st_mode)
    # A home, or a folder for everybody's files, is not the ledger's alone.
    if mode & 0o077 and not mode & stat.S_ISVTX and folder != Path.home():
        yield Danger(
            "folder mode",
            f"Others on this computer may look at the ledger's folder. Type: {typed(('chmod', '700', str(folder)))}",
        )
