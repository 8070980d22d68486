"""What the system refuses of a file, in plain words: where it lies, what is wrong with it, what to do."""

from __future__ import annotations

import errno
from collections.abc import Mapping
from pathlib import Path
from types import MappingProxyType
from typing import Final

from shopledger.errors import ShopledgerError

_SAID: Final[Mapping[int, tuple[str, str]]] = MappingProxyType(
    {
        errno.ENOSPC: ("the disk is full", "Free some room and do it again."),
        errno.EDQUOT: ("your share of the disk is full", "Free some room and do it again."),
        errno.EFBIG: ("the disk takes no file of that size", "Choose another disk."),
        errno.EACCES: ("permission denied", "Choose a folder that you may write to."),
        errno.EPERM: ("operation not permitted", "Choose a folder that you may write to."),
        errno.EROFS: ("the disk can only be read", "Choose another folder, or let the disk be written to."),
        errno.EIO: ("the disk failed while it was read or written", "Look at the disk and its cable first."),
        errno.ENAMETOOLONG: ("its name is too long", "Give a shorter one."),
        errno.EMFILE: ("too many files are open", "Close other programs and do it again."),
        errno.ENFILE: ("too many files are open on this computer", "Close other programs and do it again."),
        errno.ELOOP: ("its links lead in a circle", "Give the place itself."),
        errno.ENOTDIR: ("a part of its path is a file, not a folder", "Look at the path and type it again."),
        errno.EISDIR: ("it is a folder", "Give the name of a file in it."),
        errno.ENOENT: ("no such file or folder", "Look at the path and type it again."),
        errno.ESTALE: ("the network folder is gone", "Connect it again and do it again."),
        errno.EHOSTDOWN: ("the network folder does not answer", "Connect it again and do it again."),
        errno.ETIMEDOUT: ("the network folder does not answer", "Connect it again and do it again."),
    }
)
_OTHERWISE: Final = "Look at the disk and the rights of its folders."


class NotWrittenError(ShopledgerError):
    """A file cannot be written where it was asked for."""

    target: Path
    reason: str
    hint: str
    sentence = "{target} cannot be written: {reason}. {hint}"


class NotHandedError(ShopledgerError):
    """A file that was written could not be handed to a program of the system's."""

    file: Path
    done: str
    reason: str
    hint: str
    sentence = "{file} is written, but could not be {done}: {reason}. {hint}"


class NoPaperError(ShopledgerError):
    """A file was to be printed that is no paper."""

    file: Path
    sentence = "{file} is written, but it is no paper. Open it in the program that it is for, and print it from there."


class TakenError(ShopledgerError):
    """A file that this program did not write stands where one is to be written."""

    target: Path
    noun: str
    sentence = "{short} It was not touched; choose another place, or say '--replace' to write over it."

    @property
    def short(self) -> str:
        """What stands there, as the start of a question."""
        return f"{self.target} exists already and is no {self.noun} that shopledger wrote under this name."


class LedgerInTheWayError(ShopledgerError):
    """A ledger, or what belongs to one, stands where a file is to be written."""

    target: Path
    what: str
    sentence = "{target} {what}, which is never written over. Choose another place."


class SystemRefusedError(ShopledgerError):
    """The system refused something that no other sentence speaks of."""

    place: str
    reason: str
    hint: str
    sentence = "{place}{reason}. {hint}"


def not_written(target: Path, error: OSError) -> NotWrittenError:
    """Give the sentence for a file that the system would not let be written."""
    return NotWrittenError(target, reason_of(error), hint_of(error))


def refused_by_system(error: OSError) -> SystemRefusedError:
    """Give the sentence for a failure of the system that met no closer reader of it."""
    named = error.filename if isinstance(error.filename, str) else ""
    return SystemRefusedError(f"{named}: " if named else "", reason_of(error), hint_of(error))


def reason_of(error: OSError) -> str:
    """Give what the system says of a failure, as part of a sentence."""
    reason, _ = _SAID.get(error.errno or 0, ("", ""))
    return reason or (error.strerror or str(error) or type(error).__name__).lower()


def hint_of(error: OSError, *, reading: bool = False) -> str:
    """Give what to do about a failure of the system."""
    if reading and error.errno in {errno.EACCES, errno.EPERM}:
        return "See that you may read it."
    _, hint = _SAID.get(error.errno or 0, ("", _OTHERWISE))
    return hint
