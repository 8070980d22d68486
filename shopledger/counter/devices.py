"""A browser in words, so that its owner knows it in a list."""

from __future__ import annotations

from typing import Final

BROWSERS: Final = (("Firefox/", "Firefox"), ("Edg/", "Edge"), ("Chrome/", "Chrome"), ("Safari/", "Safari"))
"""By which word a browser names itself; the first that fits, since most name others too."""
SYSTEMS: Final = (
    *(("iPhone", "an iPhone"), ("iPad", "an iPad"), ("Android", "Android"), ("Windows", "Windows")),
    *(("Mac OS X", "a Mac"), ("CrOS", "ChromeOS"), ("Linux", "Linux")),
)


def device_words(agent: str, address: str) -> str:
    """Say which browser it is, on what, and from which address."""
    browser = next((words for sign, words in BROWSERS if sign in agent), "a browser")
    system = next((f" on {words}" for sign, words in SYSTEMS if sign in agent), "")
    return f"{browser}{system}, {address}" if address else f"{browser}{system}"
