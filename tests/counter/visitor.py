"""A browser as the tests have it: it reads a page's forms, fills them in and sends them, without scripts."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from html.parser import HTMLParser
from io import BytesIO
from typing import Final

from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from shopledger.counter.sessions import new_key
from shopledger.counter.station import Station

Fields = Mapping[str, str | Sequence[str] | tuple[str, bytes]]
"""What is filled in, by the names of the fields; a file is its name and its bytes."""
TICKED: Final = {"radio", "checkbox"}


@dataclass
class FormOnPage:
    """A form as it stands on a page."""

    action: str
    method: str
    values: dict[str, list[str]] = field(default_factory=dict)
    names: set[str] = field(default_factory=set)


class _Page(HTMLParser):
    """Collects the forms of a page with what stands in their fields, and its words."""

    def __init__(self) -> None:
        super().__init__()
        self.forms: list[FormOnPage] = []
        self.words: list[str] = []
        self._inside: FormOnPage | None = None
        self._select = ""
        self._area = ""
        self._hides = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attrs}
        self._hides = tag in {"script", "style"}
        if tag == "form":
            self._inside = FormOnPage(given.get("action", ""), given.get("method", "get"))
            self.forms.append(self._inside)
        if self._inside is None:
            return
        name = given.get("name", "")
        if tag in {"input", "select", "textarea", "button"} and name:
            self._inside.names.add(name)
        sent = given.get("type") != "file" and (given.get("type") not in TICKED or "checked" in given)
        if tag == "input" and name and sent:
            self._inside.values.setdefault(name, []).append(given.get("value", "on"))
        self._select = name if tag == "select" else self._select
        self._area = name if tag == "textarea" else ""
        if tag == "option" and self._select and "selected" in given:
            self._inside.values.setdefault(self._select, []).append(given.get("value", ""))

    def handle_endtag(self, tag: str) -> None:
        if tag == "form":
            self._inside = None
        if tag == "select":
            self._select = ""
        if tag == "textarea":
            self._area = ""
        self._hides = False

    def handle_data(self, data: str) -> None:
        if self._area and self._inside is not None:
            self._inside.values.setdefault(self._area, []).append(data)
        if not self._hides:
            self.words.append(data)


@dataclass
class Visitor:
    """Somebody at a browser that is let in, looking at one page at a time."""

    client: FlaskClient
    station: Station
    answer: TestResponse | None = None
    path: str = "/"

    @property
    def home(self) -> str:
        """The address of the counter."""
        return self.station.addresses[0].origin

    def enter(self) -> Visitor:
        """Come in by a key."""
        self._came(
            self.client.get(f"/open?key={new_key(self.station.secret, self.station.clock())}", base_url=self.home)
        )
        return self

    def go(self, path: str) -> Visitor:
        """Go to a page."""
        self.path = path
        self._came(self.client.get(path, base_url=self.home, headers={"Sec-Fetch-Site": "none"}))
        return self

    def send(self, fields: Fields | None = None, *, to: str = "", has: str = "", again: bool = False) -> Visitor:
        """Fill in the form that has a field (or goes to an address) and send it; what is not named stays as it is."""
        form = self.form(to=to, has=has or next(iter(fields or {}), ""))
        typed: dict[str, object] = dict(form.values)
        for name, value in (fields or {}).items():
            if name not in form.names:
                message = f"the form has no field {name}, but {sorted(form.names)}"
                raise AssertionError(message)
            is_file = isinstance(value, tuple) and len(value) == 2 and isinstance(value[1], bytes)
            typed[name] = (BytesIO(value[1]), value[0]) if is_file else value  # type: ignore[arg-type]
        target = form.action or self.path
        self._send(target, typed)
        if again:
            self._send(target, typed)
        return self

    def press(self, to: str) -> Visitor:
        """Press the button that goes to an address."""
        return self.send(to=to)

    def form(self, *, to: str = "", has: str = "") -> FormOnPage:
        """Give the one form meant."""
        found = [
            each for each in self._page().forms if (not to or each.action == to) and (not has or has in each.names)
        ]
        every = self._page().forms
        found = [each for each in every if to in ("", each.action) and (not has or has in each.names)]
        found = [each for each in found if each.method.lower() == "post" and (to or has or each.action != "/leave")]
        if len(found) != 1:
            message = f"{len(found)} forms are meant on {self.path}: {[each.action for each in every]}"
            raise AssertionError(message)
        return found[0]

    @property
    def code(self) -> int:
        """The code of the last answer."""
        return self._last.status_code

    @property
    def words(self) -> str:
        """What the page says, without its marks."""
        return " ".join(" ".join(self._page().words).split())

    @property
    def text(self) -> str:
        """The page as it was sent."""
        return self._last.get_data(as_text=True)

    @property
    def _last(self) -> TestResponse:
        if self.answer is None:
            message = "no page was asked for yet"
            raise AssertionError(message)
        return self.answer

    def _send(self, target: str, typed: Mapping[str, object]) -> None:
        self.path = target if target.startswith("/") else self.path
        headers = {"Origin": self.home, "Sec-Fetch-Site": "same-origin", "Referer": f"{self.home}{self.path}"}
        self._came(self.client.post(target, base_url=self.home, data=typed, headers=headers))

    def _came(self, answer: TestResponse) -> None:
        """Take an answer, and follow it where it leads."""
        self.answer = answer
        if answer.status_code == 303:
            self.go(answer.headers["Location"])

    def _page(self) -> _Page:
        page = _Page()
        page.feed(self.text)
        return page
