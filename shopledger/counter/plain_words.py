"""The program's own sentences for a page: what tells how to type a command is left out, since nobody types any."""

from __future__ import annotations

import re

_SENTENCE = re.compile(r"(?<=[.!?])\s+(?=[A-Z'])")
_TYPED = re.compile(r"'?shopledger [a-z]|--[a-z]")


def plain(said: str) -> str:
    """Leave out the sentences that name a command or an option; one alone stays as it is."""
    sentences = _SENTENCE.split(said)
    kept = [each for each in sentences if not _TYPED.search(each)]
    words = " ".join(kept) if kept else said
    return words[:1].upper() + words[1:]
