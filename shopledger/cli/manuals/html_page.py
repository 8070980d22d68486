"""The manual as one page for a browser: no script, no file beside it, readable without colours and on paper."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from html import escape
from typing import Final

from shopledger.cli.manuals.parts import Chapter, Entry, Grid, Manual, Paragraph, Part, Row

BEGINNING: Final = """\
<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="generator" content="shopledger manual">
"""
"""How every page begins, and by which an earlier one is known."""

_STYLE: Final = """\
:root { color-scheme: light dark; }
body { font: 1rem/1.5 system-ui, sans-serif; margin: 0 auto; max-width: 60rem; padding: 0 1rem 4rem; }
h2 { border-bottom: 0.15rem solid; margin-top: 3rem; }
h3 { border-top: 0.05rem solid; margin-top: 2.5rem; padding-top: 0.5rem; }
h4, h5 { margin-top: 1.75rem; }
code, pre { font-family: ui-monospace, Menlo, Consolas, monospace; font-size: 0.9em; }
pre { border-left: 0.2rem solid; overflow-x: auto; padding: 0.25rem 0 0.25rem 0.75rem; }
table { border-collapse: collapse; margin: 1rem 0; width: 100%; }
caption { font-weight: bold; padding-top: 0.5rem; text-align: left; }
th, td { border-bottom: 0.05rem solid; padding: 0.3rem 0.75rem 0.3rem 0; text-align: left; vertical-align: top; }
th[scope=row] { font-weight: normal; overflow-wrap: anywhere; width: 38%; }
nav ul { list-style: none; padding-left: 1rem; }
nav > ul { padding-left: 0; }
.commands { columns: 18rem; }
:target { outline: 0.15rem solid; outline-offset: 0.3rem; }
@media print {
  body { font-size: 9pt; line-height: 1.3; max-width: none; padding: 0; }
  h2 { margin-top: 1.5rem; }
  h3, h4, h5 { margin: 0.75rem 0 0.25rem; }
  p, pre, table { margin: 0.25rem 0; }
  th, td { padding: 0.1rem 0.5rem 0.1rem 0; }
  a { color: inherit; text-decoration: none; }
  h2, h3, h4, h5 { break-after: avoid; }
  tr, pre { break-inside: avoid; }
  pre { white-space: pre-wrap; }
}
"""
_QUOTED: Final = re.compile(r"'([a-z][^']+)'")
_DEEPEST: Final = 5


def html_page(manual: Manual) -> bytes:
    """Write the whole page."""
    anchors = {entry.path: entry.anchor for entry in manual.entries()}
    return "\n".join(_Page(anchors).lines(manual)).encode("utf-8") + b"\n"


class _Page:
    """Writes the page; knows by which name each command is found."""

    def __init__(self, anchors: Mapping[str, str]) -> None:
        self._anchors = anchors

    def lines(self, manual: Manual) -> Iterator[str]:
        yield f"{BEGINNING}<title>shopledger: the manual</title>"
        yield '<meta name="viewport" content="width=device-width, initial-scale=1">'
        yield f"<style>\n{_STYLE}</style>\n</head>\n<body>"
        yield f"<header>\n<h1>shopledger: the manual</h1>\n<p>Version {escape(manual.version)}</p>\n</header>"
        yield from _contents(manual)
        yield "<main>"
        yield _opened("shopledger", "The program")
        yield from self._body(manual.program)
        yield "</section>"
        for heading, entries in manual.sections:
            yield _opened(_anchor(heading), heading)
            for entry in entries:
                yield from self._entry(entry, 3)
            yield "</section>"
        for chapter in manual.chapters:
            yield _opened(chapter.anchor, chapter.title)
            yield from (self._part(part, chapter) for part in chapter.parts)
            yield "</section>"
        yield "</main>\n</body>\n</html>"

    def _entry(self, entry: Entry, level: int) -> Iterator[str]:
        yield f'<h{level} id="{entry.anchor}">{escape(entry.path)}</h{level}>'
        yield from self._body(entry)
        for each in entry.below:
            yield from self._entry(each, min(level + 1, _DEEPEST))

    def _body(self, entry: Entry) -> Iterator[str]:
        yield f"<pre><code>{escape(entry.usage)}</code></pre>"
        yield from map(self._paragraph, entry.paragraphs)
        if entry.arguments:
            yield self._table(_caption("Arguments", entry), ("Argument", "Whether it is needed"), entry.arguments)
        if entry.options:
            yield self._table(_caption("Options", entry), ("Option", "What it says"), entry.options)
        if entry.below:
            links = ", ".join(f'<a href="#{each.anchor}">{escape(each.path.split()[-1])}</a>' for each in entry.below)
            yield f"<p>Commands: {links}.</p>"

    def _part(self, part: Part, chapter: Chapter) -> str:
        if not isinstance(part, Grid):
            return self._paragraph(part)
        return self._table(f' aria-labelledby="{chapter.anchor}">', part.heads, part.rows)

    def _paragraph(self, said: Paragraph) -> str:
        if said.typed:
            return f"<pre><code>{escape(said.text)}</code></pre>"
        return f"<p>{self._linked(said.text)}</p>"

    def _table(self, named: str, heads: tuple[str, str], rows: Sequence[Row]) -> str:
        """Write a table; what names it closes its first tag, with a caption or without one."""
        head = "".join(f'<th scope="col">{escape(each)}</th>' for each in heads)
        body = "\n".join(
            f'<tr><th scope="row"><code>{escape(row.words)}</code></th><td>{self._linked(row.says)}</td></tr>'
            for row in rows
        )
        return f"<table{named}\n<thead><tr>{head}</tr></thead>\n<tbody>\n{body}\n</tbody>\n</table>"

    def _linked(self, text: str) -> str:
        """Write a text in which every command that it quotes leads to what is said of it."""
        done, pieces = 0, []
        for quoted in _QUOTED.finditer(text):
            pieces += [escape(text[done : quoted.start()]), self._link(quoted.group(1))]
            done = quoted.end()
        return "".join([*pieces, escape(text[done:])])

    def _link(self, quoted: str) -> str:
        """Write what is quoted as a link where it begins with a command, with or without the program's name."""
        words = quoted.removeprefix("shopledger ").split()
        # One word alone may be any word.
        least = 1 if quoted.startswith("shopledger ") else 2
        for count in range(len(words), least - 1, -1):
            anchor = self._anchors.get(" ".join(("shopledger", *words[:count])))
            if anchor:
                return f'<a href="#{anchor}"><code>{escape(quoted)}</code></a>'
        return escape(f"'{quoted}'")


def _caption(what: str, entry: Entry) -> str:
    return f">\n<caption>{what} of {escape(entry.path)}</caption>"


def _opened(anchor: str, heading: str) -> str:
    return f'<section aria-labelledby="{anchor}">\n<h2 id="{anchor}">{escape(heading)}</h2>'


def _contents(manual: Manual) -> Iterator[str]:
    yield '<nav aria-labelledby="contents">\n<h2 id="contents">Contents</h2>\n<ul>'
    yield '<li><a href="#shopledger">The program</a></li>'
    for heading, entries in manual.sections:
        yield f'<li><a href="#{_anchor(heading)}">{escape(heading)}</a>\n<ul class="commands">'
        for entry in entries:
            yield from _links(entry)
        yield "</ul></li>"
    yield from (f'<li><a href="#{each.anchor}">{escape(each.title)}</a></li>' for each in manual.chapters)
    yield "</ul>\n</nav>"


def _links(entry: Entry) -> Iterator[str]:
    name = escape(entry.path.removeprefix("shopledger "))
    if not entry.below:
        yield f'<li><a href="#{entry.anchor}">{name}</a></li>'
        return
    yield f'<li><a href="#{entry.anchor}">{name}</a>\n<ul>'
    for each in entry.below:
        yield from _links(each)
    yield "</ul></li>"


def _anchor(heading: str) -> str:
    return "section-" + re.sub(r"[^a-z]+", "-", heading.lower()).strip("-")
