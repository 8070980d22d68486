"""Commands near to what was typed, over all groups: in another order, by another word, with a letter astray."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import islice
from typing import Final

import click

from shopledger.cli.other_names import OTHER_NOUNS, OTHER_VERBS
from shopledger.errors import nearest

MOST: Final = 3
"""How many are named."""
Known = Mapping[str, Sequence[str]]
"""Each command and group at the top, with the commands right below it."""


def near_commands(top: click.Group, ctx: click.Context, words: Sequence[str]) -> tuple[str, ...]:
    """Give the commands that may be meant by words, the first of which is unknown in the group of the context."""
    above = ctx.command_path.split()[1:]
    plain = [word.casefold() for word in words if not word.startswith("-")]
    if len(above) > 1 and isinstance(ctx.command, click.Group):
        below = ctx.command.list_commands(ctx)
        return tuple(" ".join((*above, name)) for name in nearest(plain[0], below) or below[:MOST])
    known = {name: _below(top.get_command(ctx, name), ctx) for name in top.list_commands(ctx)}
    group = above[0] if above else ""
    found = [*_meant(known, group, plain)] or [*_like(known, group, plain)]
    return tuple(islice(dict.fromkeys(found), MOST))


def _below(command: click.Command | None, ctx: click.Context) -> list[str]:
    return command.list_commands(ctx) if isinstance(command, click.Group) else []


def _meant(known: Known, group: str, words: Sequence[str]) -> Iterator[str]:
    """Give commands that are surely meant: the same deed by another word, in another order, or a number to be shown."""
    first, second = words[0], words[1] if len(words) > 1 else ""
    if group:
        yield from _deeds(known, group, first)
        for other in _groups(first, known):
            yield from _deeds(known, other, second)
        return
    for other in _groups(first, known):
        yield from _deeds(known, other, second)
    # The deed was typed before what it is about: `list orders`, `add customer`.
    for other in _groups(second, known):
        yield from _deeds(known, other, first)


def _deeds(known: Known, group: str, word: str) -> Iterator[str]:
    """Give the command of a group that a word stands for."""
    below = known[group]
    if word.isdigit() and "show" in below:
        yield f"{group} show {word}"
    yield from (f"{group} {verb}" for verb in (word, *OTHER_VERBS.get(word, ())) if verb in below)


def _like(known: Known, group: str, words: Sequence[str]) -> Iterator[str]:
    """Give commands that are like the words, those of the group that was named first; that group where none is."""
    first, second = words[0], words[1] if len(words) > 1 else ""
    all_commands = [f"{name} {below}" for name, each in known.items() for below in each]
    named = (group,) if group else _groups(first, known)
    word = first if group else second
    near = [f"{each} {below}" for each in named for below in (nearest(word, known[each]) if word else ())]
    yield from near
    verbs = (first, *OTHER_VERBS.get(first, ()))
    yield from (name for name in all_commands if name.split()[1] in verbs)
    if group:
        yield from (other for other in _groups(first, known) if other != group)
    elif not named:
        yield from nearest(first, known)
        yield from nearest(" ".join(words[:2]), all_commands)
    if not (near or group):
        yield from named


def _groups(word: str, known: Known) -> tuple[str, ...]:
    """Give the groups that a word means: by name, in the plural, by another word."""
    single = word.removesuffix("s")
    if word in known or single in known:
        return (word if word in known else single,)
    return tuple(name for name in OTHER_NOUNS.get(word, OTHER_NOUNS.get(single, ())) if name in known)
