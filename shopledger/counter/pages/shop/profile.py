"""Who the shop is and what it has set, changed in place."""

from __future__ import annotations

from shopledger.counter.desks import desk
from shopledger.counter.forms.answering import Answer, Done, fill
from shopledger.counter.forms.filled import Values
from shopledger.counter.pages.shop.fields import (
    PROFILE,
    SETTINGS,
    settings_as_typed,
    settings_of,
    shop_as_typed,
    shop_of,
)
from shopledger.counter.pages.shop.part import BOTH, SHOP, pages
from shopledger.desk.shop import change_shop, shop_and_settings


@pages.route("/profile", methods=BOTH)
def profile() -> Answer:
    """Change the shop's name, address or numbers."""
    found, _ = shop_and_settings(desk())

    def store(values: Values) -> Done:
        change_shop(desk(), lambda _, settings: (shop_of(values), settings))
        return Done("/shop", "The shop was changed. Papers already made keep what they said.")

    return fill(
        PROFILE,
        store,
        "form.html",
        start=shop_as_typed(found),
        keep=("change of the shop", ""),
        heading="Name, address and numbers",
        button="Store the change",
        back=SHOP,
    )


@pages.route("/settings", methods=BOTH)
def settings() -> Answer:
    """Change how the shop works."""
    _, found = shop_and_settings(desk())

    def store(values: Values) -> Done:
        change_shop(desk(), lambda shop, _: (shop, settings_of(values)))
        return Done("/shop", "The settings were changed. Orders and papers of before keep theirs.")

    return fill(
        SETTINGS,
        store,
        "form.html",
        start=settings_as_typed(found),
        keep=("change of settings", ""),
        heading="Settings",
        button="Store the settings",
        back=SHOP,
    )
