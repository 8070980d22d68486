"""Who works here: names with their part and passphrase, the browsers that are let in, and other computers."""

from __future__ import annotations

from typing import Final

from flask import render_template
from werkzeug.wrappers import Response

from shopledger.counter.desks import desk, station
from shopledger.counter.forms.answering import Answer, Done, fill, leave
from shopledger.counter.forms.fields import Choice, form, line, secret, word
from shopledger.counter.forms.filled import Values
from shopledger.counter.guard import session
from shopledger.counter.pages.door import AGAIN, same_twice, sessions
from shopledger.counter.pages.shop.part import BOTH, pages
from shopledger.desk.counter_places import ask_here, asks_here
from shopledger.desk.logins import add_login, change_passphrase, change_role, logins, remove_login
from shopledger.errors import UnknownNameError
from shopledger.ledger.logins import Login, Role, folded

OPERATORS: Final = ("/shop/operators", "Operators")
NAME: Final = line(
    "name", "Name", longest=60, width="middle", hint="As it stands beside what they record.", about=("operator",)
)
ROLE: Final = word(
    "role",
    "What they may do",
    Role,
    choices=(
        Choice("owner", "everything"),
        Choice("counter", "the work at the counter", "no books, no settings, no erasing, no copies"),
    ),
)
PASSPHRASE: Final = secret("passphrase", "Passphrase", hint="Four or five words that only they put together.")
REPEATED: Final = secret("again", "Passphrase again")


@pages.get("/operators")
def operators() -> str:
    """Show who may log in, and which browsers are let in."""
    return render_template(
        "shop/operators.html",
        logins=logins(desk()),
        open=sessions().all(),
        mine=session().number,
        ways=[each for each in station().addresses if each.secure],
        fingerprint=station().fingerprint,
        asks=asks_here(station().ledger),
    )


@pages.route("/operators/new", methods=BOTH)
def new_operator() -> Answer:
    """Let somebody log in."""

    def store(values: Values) -> Done:
        words = same_twice(values.of(PASSPHRASE), values.of(REPEATED))
        added = add_login(desk(), Login(values.of(NAME), values.of(ROLE)), words)
        return Done("/shop/operators", f"{added.name} may log in now.")

    first = not logins(desk())
    return fill(
        form(NAME, ROLE, PASSPHRASE, REPEATED),
        store,
        "form.html",
        start={"role": ["owner" if first else "counter"], "name": [session().operator if first else ""]},
        heading="Somebody who works here",
        button="Let them log in",
        back=OPERATORS,
    )


@pages.route("/operators/of/<path:name>/role", methods=BOTH)
def role_of(name: str) -> Answer:
    """Change what somebody may do."""
    found = _called(name)

    def store(values: Values) -> Done:
        changed = change_role(desk(), found.name, values.of(ROLE))
        sessions().end_of(changed.name, but=session().number)
        return Done("/shop/operators", f"What {changed.name} may do was changed; they have to log in again.")

    return fill(
        form(ROLE),
        store,
        "form.html",
        start={"role": [found.role.value]},
        heading=f"What {found.name} may do",
        button="Store the change",
        back=OPERATORS,
    )


@pages.route("/operators/of/<path:name>/passphrase", methods=BOTH)
def passphrase_of(name: str) -> Answer:
    """Give somebody another passphrase."""
    found = _called(name)

    def store(values: Values) -> Done:
        change_passphrase(desk(), found.name, same_twice(values.of(PASSPHRASE), values.of(AGAIN)))
        sessions().end_of(found.name, but=session().number)
        return Done("/shop/operators", f"{found.name} has another passphrase, and has to log in again.")

    return fill(
        form(PASSPHRASE, REPEATED),
        store,
        "form.html",
        heading=f"Another passphrase for {found.name}",
        button="Store the passphrase",
        back=OPERATORS,
    )


@pages.post("/operators/of/<path:name>/remove")
def remove(name: str) -> Response:
    """Let somebody log in no more."""
    gone = remove_login(desk(), name)
    sessions().end_of(gone.name, but=session().number)
    return leave("/shop/operators", f"{gone.name} may log in no more. What was recorded keeps the name.")


@pages.post("/operators/browsers/<int:place>/end")
def end_browser(place: int) -> Response:
    """Close the counter in another browser."""
    found = next((each for each in sessions().all() if each.place == place), None)
    if found is not None:
        sessions().end(found.number)
    return leave("/shop/operators", "The counter was closed in that browser.")


@pages.post("/operators/ask-here")
def ask_at_this_computer() -> Response:
    """Have this computer's own browsers asked for a passphrase too, or no more."""
    asks = not asks_here(station().ledger)
    ask_here(station().ledger, asks=asks)
    if asks:
        sessions().end_everything(but=session().number)
    said = "is asked for name and passphrase from now on" if asks else "is let in without a passphrase again"
    return leave("/shop/operators", f"Whoever opens the counter on this computer {said}.")


def _called(name: str) -> Login:
    found = next((each for each in logins(desk()) if each.folded == folded(name)), None)
    if found is None:
        raise UnknownNameError("operator", name)
    return found
