"""The manual for reading offline says all that the help says, in a page for a browser and in one for `man`."""

from __future__ import annotations

import ast
import json
import re
import shutil
import subprocess
from collections import defaultdict
from html.parser import HTMLParser
from itertools import pairwise
from pathlib import Path

import click
import pytest
from click.testing import CliRunner

from shopledger import errors
from shopledger.cli.main import SECTIONS, shop
from shopledger.cli.manual import MAN_PAGE, PAGE
from shopledger.cli.manuals.chapters import exit_codes, variables
from shopledger.cli.manuals.content import manual
from shopledger.cli.manuals.man_page import man_page
from shopledger.cli.manuals.parts import Entry, Manual, Paragraph, Row
from shopledger.cli.reference import contexts

SOURCES = Path(__file__).resolve().parents[2] / "shopledger"
ALONE = {"meta", "link", "br", "hr", "img"}
"""Tags that are never closed."""
MACROS = {"TH", "SH", "SS", "PP", "TP", "nf", "fi"}
COMMANDS = [ctx for ctx in contexts() if ctx.parent is not None]


class Read(HTMLParser):
    """A page as a strict reader takes it: tags that nest, and the rows and words under each heading."""

    def __init__(self, page: str) -> None:
        super().__init__(convert_charrefs=True)
        self.open: list[str] = []
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.rows: dict[str, list[str]] = defaultdict(list)
        self.words: dict[str, str] = defaultdict(str)
        self._under = ""
        self._row: str | None = None
        self.feed(page)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Take a tag in."""
        self.tags.append((tag, dict(attrs)))
        if tag not in ALONE:
            self.open.append(tag)
        if re.fullmatch("h[1-6]", tag):
            self._under = dict(attrs).get("id") or ""
        if tag == "th" and dict(attrs).get("scope") == "row":
            self._row = ""

    def handle_endtag(self, tag: str) -> None:
        """Close the tag that was opened last, and no other."""
        assert self.open
        assert self.open.pop() == tag
        if tag == "th" and self._row is not None:
            self.rows[self._under].append(self._row)
            self._row = None

    def handle_data(self, data: str) -> None:
        """Take words in."""
        self.words[self._under] += data
        if self._row is not None:
            self._row += data

    def given(self, name: str) -> list[str]:
        """Give every value of an attribute."""
        return [str(attrs[name]) for _, attrs in self.tags if name in attrs]


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Write the manual by the command."""
    into = tmp_path_factory.mktemp("manual")
    ended = CliRunner().invoke(shop, ["manual", "--into", str(into), "--json"])
    assert ended.exit_code == 0, ended.output
    assert json.loads(ended.stdout) == {"page": str(into / PAGE), "man_page": str(into / MAN_PAGE)}
    return into


@pytest.fixture(scope="module")
def page(folder: Path) -> Read:
    """Read the page for a browser."""
    return Read((folder / PAGE).read_text(encoding="utf-8"))


@pytest.fixture(scope="module")
def roff(folder: Path) -> str:
    """Read the page for `man`."""
    return (folder / MAN_PAGE).read_text(encoding="ascii")


def plain(roff: str) -> str:
    """Give what a formatter would show of a text in roff."""
    spelled = {"rs": "\\", "aq": "'", "ga": "`", "ha": "^", "ti": "~", "dq": '"'}
    text = re.sub(r"\\f[BR]", "", roff)
    text = re.sub(r"\\\[u([0-9A-F]{4,})\]", lambda found: chr(int(found[1], 16)), text)
    return re.sub(r"\\(?:\((..)|([-&]))", lambda found: spelled[found[1]] if found[1] else found[2].strip("&"), text)


def options_of(ctx: click.Context) -> list[str]:
    """Give how the help writes each option of a command, but how help itself is asked for."""
    asked = (each for each in ctx.command.get_params(ctx) if isinstance(each, click.Option))
    records = (each.get_help_record(ctx) for each in asked if "--help" not in each.opts)
    return [record[0] for record in records if record]


def arguments_of(ctx: click.Context) -> list[str]:
    """Give how each argument of a command is called, without the brackets of one that may be left out."""
    given = (each for each in ctx.command.get_params(ctx) if isinstance(each, click.Argument))
    return [each.make_metavar(ctx).strip("[]") for each in given]


@pytest.mark.parametrize("ctx", COMMANDS, ids=[ctx.command_path for ctx in COMMANDS])
def test_each_command_stands_in_both_with_each_option(ctx: click.Context, page: Read, roff: str) -> None:
    """What the help says that a command takes stands under the command's own heading, in the page and in the other."""
    anchor = ctx.command_path.replace(" ", "-")
    wanted = [*arguments_of(ctx), *options_of(ctx)]
    assert page.rows.get(anchor, []) == wanted
    _, _, after = roff.partition(f'.SS "{ctx.command_path.replace("-", chr(92) + "-")}"\n')
    part = re.split(r"^\.S[HS] ", after, flags=re.MULTILINE)[0]
    assert [plain(line) for line in re.findall(r"^\.TP\n(.*)$", part, flags=re.MULTILINE)] == wanted
    for text in (page.words[anchor], plain(part)):
        first = " ".join((ctx.command.help or "").split("\n\n")[0].split())
        assert first in " ".join(text.split())


def test_every_example_stands_in_both_as_it_is_typed(page: Read, roff: str) -> None:
    """No example is filled into a paragraph, or loses its quotes and dashes."""
    typed = "shopledger refund give 12 --returned 1 --method check --reason 'too small'"
    assert typed in page.words["shopledger-refund-give"].splitlines()
    assert typed in plain(roff).splitlines()
    examples = [part.text for entry in manual().entries() for part in entry.paragraphs if part.typed]
    assert len(examples) > 20
    assert [text for text in examples if text not in plain(roff)] == []


def test_the_page_can_be_read_by_everybody(page: Read) -> None:
    """It has a language and a title, headings in order, tables whose heads say what they are for, and no script."""
    names = [tag for tag, _ in page.tags]
    assert page.open == []
    assert dict(page.tags)["html"] == {"lang": "en"}
    assert names.count("title") == names.count("h1") == names.count("main") == 1
    levels = [int(tag[1]) for tag in names if re.fullmatch("h[1-6]", tag)]
    assert [(one, other) for one, other in pairwise(levels) if other > one + 1] == []
    assert {attrs.get("scope") for tag, attrs in page.tags if tag == "th"} == {"col", "row"}
    assert {"script", "link", "img", "iframe"} & set(names) == set()
    assert [name for name in ("src", "onclick") if page.given(name)] == []


def test_each_link_leads_to_a_place_of_the_page(page: Read) -> None:
    """Nothing is linked that is not there, and no name is there twice; the contents lead to every command."""
    places = page.given("id")
    assert len(places) == len(set(places))
    led_to = page.given("href")
    assert [link for link in led_to if link[0] != "#" or link[1:] not in places] == []
    assert {f"#{ctx.command_path.replace(' ', '-')}" for ctx in COMMANDS} <= set(led_to)
    assert set(page.given("aria-labelledby")) <= set(places)


def test_a_command_named_in_a_text_is_linked(folder: Path) -> None:
    """Whoever reads of another command gets to it."""
    text = (folder / PAGE).read_text(encoding="utf-8")
    assert 'passed <a href="#shopledger-job-inspect"><code>shopledger job inspect</code></a>,' in text
    assert 'used with <a href="#shopledger-payment-take"><code>payment take --deposit</code></a>.' in text
    assert "Where it is &#x27;dumb&#x27;, nothing" in text


def test_the_same_program_writes_the_same_bytes(folder: Path, tmp_path: Path) -> None:
    """No clock, no path and no width of a terminal is in it."""
    words = ["manual", "--into", str(tmp_path / "other")]
    assert CliRunner().invoke(shop, words, env={"COLUMNS": "50"}, terminal_width=50).exit_code == 0
    for name in (PAGE, MAN_PAGE):
        assert (tmp_path / "other" / name).read_bytes() == (folder / name).read_bytes()


def test_an_earlier_manual_is_replaced_and_nothing_else(tmp_path: Path) -> None:
    """A page of an older program gives way unasked; where a file of the owner's has its name, none is written."""
    words = ["manual", "--into", str(tmp_path)]
    assert CliRunner().invoke(shop, words).exit_code == 0
    for name in (PAGE, MAN_PAGE):
        with (tmp_path / name).open("ab") as file:
            file.write(b"zzz\n")
    assert CliRunner().invoke(shop, words).exit_code == 0
    assert b"zzz" not in (tmp_path / PAGE).read_bytes() + (tmp_path / MAN_PAGE).read_bytes()
    (tmp_path / MAN_PAGE).write_text("my own notes\n", encoding="utf-8")
    (tmp_path / PAGE).unlink()
    refused = CliRunner().invoke(shop, words)
    assert refused.exit_code != 0
    assert "--replace" in refused.stderr
    assert [file.name for file in tmp_path.iterdir()] == [MAN_PAGE]


def test_no_line_of_text_is_taken_for_a_macro(roff: str) -> None:
    """A line that begins with a full stop is one of the few macros in use, and none begins with an apostrophe."""
    begun = {line.split(" ")[0] for line in roff.splitlines() if line.startswith((".", "'"))}
    assert begun - {'.\\"'} == {f".{name}" for name in MACROS}


def test_letters_that_a_formatter_misreads_are_spelled() -> None:
    """A full stop or an apostrophe at the start, backslashes, dashes, quotes, letters beyond ASCII stay themselves."""
    odd = (".5 of it", "'tis", "C:\\new -x --y", 'a "b" ~ ^ `', "20 × ½ Δ", ".")
    entry = Entry("shopledger odd", "shopledger odd", [Paragraph(each) for each in odd], [], [Row(".n", odd[0])])
    typed = Entry("shopledger lines", "shopledger lines", [Paragraph("\n".join(odd), typed=True)], [], [])
    written = man_page(Manual("1", typed, [("Odd", [entry, typed])], ())).decode("ascii")
    shown = plain(written).splitlines()
    assert [each for each in odd if shown.count(each) < 2] == []
    begun = {line.split(" ")[0] for line in written.splitlines() if line.startswith((".", "'"))}
    assert begun - {'.\\"'} <= {f".{name}" for name in MACROS}


def test_mandoc_finds_nothing_but_that_no_day_is_given(folder: Path) -> None:
    """A strict reader of such pages has one remark: the page has no date, since it follows no clock."""
    mandoc = shutil.which("mandoc")
    if mandoc is None:
        pytest.skip("mandoc is not on this machine")
    said = subprocess.run(
        [mandoc, "-T", "lint", "-W", "warning", folder / MAN_PAGE], capture_output=True, text=True, check=False
    )
    remarks = said.stdout.splitlines()
    assert [line for line in remarks if "missing date" not in line] == []


def test_groff_finds_nothing(folder: Path) -> None:
    """The usual formatter of such pages takes every macro and letter, with all its warnings on."""
    groff = shutil.which("groff")
    if groff is None:
        pytest.skip("groff is not on this machine")
    said = subprocess.run(
        [groff, "-man", "-ww", "-z", "-T", "utf8", folder / MAN_PAGE], capture_output=True, text=True, check=False
    )
    assert (said.returncode, said.stderr) == (0, "")


def test_each_exit_code_is_said() -> None:
    """Whatever kind of error there is, its code stands in the manual once."""
    kinds = {errors.ShopledgerError.exit_code, *(kind.exit_code for kind in errors.ShopledgerError.__subclasses__())}
    codes = [row.words for row in exit_codes()]
    assert codes == sorted(set(codes), key=int)
    assert {str(code) for code in {0, 2, *kinds}} == set(codes)


def test_each_variable_that_the_program_reads_is_said() -> None:
    """A variable of the environment that somebody may set stands in the manual, whichever module reads it."""
    read = {name for file in SOURCES.rglob("*.py") for name in named(ast.parse(file.read_text(encoding="utf-8")))}
    said = {name for row in variables() for name in row.words.split(", ")}
    assert {"SHOPLEDGER_LEDGER", "SHOPLEDGER_STATE", "SHOPLEDGER_PAPERS", "NO_COLOR", "COLUMNS", "TERM"} <= read
    assert read - said == set()


def named(module: ast.Module) -> set[str]:
    """Find the names of variables of the environment: in capitals, in whatever is asked for them or declares them."""
    texts = {node.value for node in ast.walk(module) if isinstance(node, ast.Constant) and isinstance(node.value, str)}
    source = ast.unparse(module)
    asked = set(re.findall(r"environ(?:\.get\(|\[)'([A-Z_]+)'", source)) | set(
        re.findall(r"envvar='([A-Z_]+)'", source)
    )
    return asked | {text for text in texts if re.fullmatch(r"SHOPLEDGER_[A-Z]+", text)}


def test_the_sections_are_those_of_the_help() -> None:
    """Every heading of the help, with its commands in the same order, is a section of the manual."""
    sections = {heading: [each.path.split()[-1] for each in entries] for heading, entries in manual().sections}
    assert sections == {heading: list(places) for heading, places in SECTIONS.items()}
