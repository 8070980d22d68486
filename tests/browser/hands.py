"""Hands at a keyboard, without a mouse: they know what a thing is called, and come to it with the tab key alone."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from playwright.sync_api import Page

MOST_TABS: Final = 150
CALLED: Final = """() => {
  const here = document.activeElement;
  if (!here || here === document.body) return '';
  const plain = (node) => (node ? node.innerText || node.textContent || '' : '').replace(/\\s+/g, ' ').trim();
  if (here.getAttribute('aria-label')) return here.getAttribute('aria-label');
  const ticked = here.closest('label');
  if (ticked) {
    const around = here.closest('fieldset.field');
    const legend = around ? plain(around.querySelector('legend')) : '';
    return (legend ? legend + ': ' : '') + plain(ticked);
  }
  const label = here.id && document.querySelector(`label[for="${CSS.escape(here.id)}"]`);
  return plain(label || here);
}"""
"""What the thing is called that has the focus: by its label, its group and its own words."""


@dataclass
class Hands:
    """A person at the keyboard; counts what was pressed and typed."""

    page: Page
    pressed: int = 0
    """How many keys were pressed, tabs and typed letters among them."""
    answered: int = 0
    """How many fields were filled in or chosen."""

    def called(self) -> str:
        """Give what the thing is called that has the focus."""
        return str(self.page.evaluate(CALLED))

    def key(self, name: str) -> None:
        """Press one key."""
        self.page.keyboard.press(name)
        self.pressed += 1

    def come_to(self, label: str) -> None:
        """Press Tab until what has the focus begins so; what cannot be reached so cannot be used without a mouse."""
        met = []
        for _ in range(MOST_TABS):
            name = self.called()
            if begins_so(name, label):
                return
            met.append(name)
            self.key("Tab")
        message = f"Tab does not come to '{label}' on {self.page.url}, but to {list(dict.fromkeys(met))}"
        raise AssertionError(message)

    def write(self, label: str, text: str) -> None:
        """Write into a field, over what stands there."""
        self.come_to(label)
        self.key("Control+a")
        if text:
            self.page.keyboard.type(text)
        else:
            self.key("Delete")
        self.pressed += len(text)
        self.answered += 1

    def choose(self, group: str, words: str) -> None:
        """Choose one of a few: with the arrows among those that exclude one another."""
        self.come_to(group)
        for _ in range(40):
            if words.casefold() in self.called().casefold():
                self.key("Space")
                self.answered += 1
                return
            self.key("ArrowDown")
        message = f"no '{words}' among '{group}'"
        raise AssertionError(message)

    def pick(self, label: str, text: str) -> None:
        """Choose from a list by typing how it begins."""
        self.come_to(label)
        self.page.keyboard.type(text)
        self.pressed += len(text)
        self.answered += 1

    def tick(self, label: str) -> None:
        """Tick a box."""
        self.come_to(label)
        self.key("Space")
        self.answered += 1

    def press(self, label: str, *, then: str = "") -> None:
        """Press a button or follow a link, and wait for the page that it leads to."""
        self.come_to(label)
        before = self.page.url
        with self.page.expect_navigation(wait_until="load"):
            self.key("Enter")
        if then and then not in self.page.url:
            said = " ".join(self.page.locator("main").inner_text().split())[:1500]
            message = f"'{label}' on {before} led to {self.page.url}, not to {then}: {said}"
            raise AssertionError(message)

    def says(self, words: str) -> bool:
        """Tell whether the page says something."""
        return words.casefold() in " ".join(self.page.locator("main").inner_text().split()).casefold()


def begins_so(name: str, label: str) -> bool:
    """Tell whether a name begins with whole words."""
    said, wanted = name.casefold(), label.casefold()
    return said.startswith(wanted) and not said[len(wanted) : len(wanted) + 1].isalnum()
