"""A screen reader's hand: it finds what the window tells of itself on the accessibility bus and presses that alone.

Runs with the system's Python, which has Debian's AT-SPI bindings (python3-gi, gir1.2-atspi-2.0). Each line of its
standard input is JSON, ["press", "Done: C"]; each is answered by a line of JSON. Run with "listen" it is the ear: it
writes a line of JSON for each event that a screen reader would speak of by itself.
"""

from __future__ import annotations

import json
import sys
import time
from typing import TYPE_CHECKING, Any

import gi

gi.require_version("Atspi", "2.0")
from gi.repository import Atspi  # noqa: E402  # the version is chosen first

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

PATIENCE_S = 60
LOOK_S = 0.1


def heard(event: Any) -> None:
    """Tell what is announced, by a notice that comes into sight, and where the focus goes."""
    if event.type.startswith("object:announcement"):
        said = ["announced", event.any_data]
    elif event.type.startswith("object:state-changed:showing"):
        if not event.detail1 or event.source.get_role() != Atspi.Role.NOTIFICATION:
            return
        said = ["announced", event.source.get_name()]
    elif event.detail1:
        said = ["focus", event.source.get_name()]
    else:
        return
    sys.stdout.write(json.dumps(said) + "\n")
    sys.stdout.flush()


def listen() -> None:
    """Hear until the end."""
    listener = Atspi.EventListener.new(heard)
    for name in ("object:announcement", "object:state-changed:showing", "object:state-changed:focused"):
        listener.register(name)
    sys.stdout.write(json.dumps(["listening", ""]) + "\n")
    sys.stdout.flush()
    Atspi.event_main()


def application() -> Any:
    """Return the program's window, once it is there."""
    desktop = Atspi.get_desktop(0)
    for number in range(desktop.get_child_count()):
        found = desktop.get_child_at_index(number)
        if found is not None and found.get_child_count():
            return found
    return None


def states(thing: Any) -> set[str]:
    """Return the names of the states of a thing."""
    return {state.value_nick for state in thing.get_state_set().get_states()}


def all_of(thing: Any) -> Iterator[Any]:
    """Yield a thing and all that can be seen in it."""
    if thing is None or not {"showing", "visible"} & states(thing):
        return
    yield thing
    for number in range(thing.get_child_count()):
        yield from all_of(thing.get_child_at_index(number))


def tree() -> list[list[Any]]:
    """Return what is told of the window now: role, name, description and states of each."""
    return [
        [one.get_role_name(), one.get_name(), one.get_description(), sorted(states(one))]
        for one in all_of(application())
    ]


def button(words: str) -> Any:
    """Return what can be pressed and is named so, or begins with it."""
    there = [
        one
        for one in all_of(application())
        if one.get_n_actions() and one.get_action_name(0) == "Press" and "sensitive" in states(one)
    ]
    exact = [one for one in there if one.get_name() == words or one.get_name().split(", ")[0] == words]
    return next(iter([*exact, *(one for one in there if one.get_name().startswith(words))]), None)


def until(found: Callable[[], Any]) -> Any:
    """Look again and again until something is there."""
    given_up = time.monotonic() + PATIENCE_S
    while (there := found()) is None and time.monotonic() < given_up:
        time.sleep(LOOK_S)
    return there


def press(words: str) -> dict[str, Any]:
    """Press what is named so; say what there is where nothing is."""
    found = until(lambda: button(words))
    if found is None:
        return {"missing": words, "tree": tree()}
    found.do_action(0)
    return {}


def typed(words: str) -> dict[str, Any]:
    """Write into the field that takes text."""
    field = until(lambda: next((one for one in all_of(application()) if "editable" in states(one)), None))
    if field is None:
        return {"missing": "a field", "tree": tree()}
    field.set_text_contents(words)
    return {}


def answer(verb: str, words: str) -> dict[str, Any]:
    """Do what a line says."""
    said = press(words) if verb == "press" else typed(words) if verb == "type" else {}
    if verb == "read":
        until(lambda: True if any(words in one[1] for one in tree()) else None)
    elif verb == "focus":
        until(lambda: True if any("focused" in one[3] and words in one[1] for one in tree()) else None)
    return {**said, "tree": tree()}


def main() -> None:
    """Answer line by line."""
    Atspi.init()
    if sys.argv[1:] == ["listen"]:
        listen()
        return
    until(application)
    for line in sys.stdin:
        verb, words = json.loads(line)
        sys.stdout.write(json.dumps(answer(verb, words)) + "\n")
        sys.stdout.flush()


if __name__ == "__main__":
    main()
