"""How a command is shown so that it can be typed again as it stands, whatever paths it names.

A POSIX shell takes single quotes. On Windows nobody can tell cmd from PowerShell, so what is shown there suits both as
far as one spelling can: double quotes around what is special to either. A quoted text that begins a line is no command
to PowerShell, and the sign that makes it one is a mistake to cmd; there the quotes open behind the drive, which both
read as one word.
"""

from __future__ import annotations

import os
import re
import shlex
from collections.abc import Sequence
from typing import Final

# PowerShell ends an option of one dash at the first full stop or colon.
_BARE: Final = re.compile(r"(?!-[^-].*[.:])[\w\\/:.+-]+")
# Signs that PowerShell reads within double quotes, and cmd does not. Some are quotes to PowerShell alone.
_READ_IN_QUOTES: Final = re.compile(r"""["\u201c-\u201e`]|\$[\w$:?^({]""")
_SINGLE_QUOTES: Final = re.compile(r"(['\u2018-\u201b])")
_DRIVE: Final = re.compile(r"(?:[A-Za-z]:)?[\\/.]*")


def typed(words: Sequence[str], system: str = os.name) -> str:
    """Write the words of a command as they are typed in the shell of a system, `nt` for Windows.

    On Windows, `%NAME%` cannot be kept from cmd while a variable of that name exists, and a word with a quotation mark,
    a backtick or a `$` before a name is spelled for PowerShell alone.
    """
    if system != "nt":
        return shlex.join(words)
    return " ".join([*map(_command, words[:1]), *map(_word, words[1:])])


def _command(word: str) -> str:
    """Write the program that begins a line; its first characters stay outside the quotes."""
    opened = _DRIVE.match(word)
    bare = (opened.group() if opened else "") or word[:1]
    rest = word[len(bare) :]
    return word if _BARE.fullmatch(word) else bare + _word(rest)


def _word(word: str) -> str:
    if _BARE.fullmatch(word):
        return word
    if _READ_IN_QUOTES.search(word):
        return "'" + _SINGLE_QUOTES.sub(r"\1\1", word) + "'"
    # Backslashes before a quotation mark are read as half as many, and the mark as a letter where they are odd.
    return '"' + word + "\\" * (len(word) - len(word.rstrip("\\"))) + '"'
