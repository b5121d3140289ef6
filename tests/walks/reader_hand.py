"""A screen reader's hand: it finds what the window tells of itself on the accessibility bus and presses that alone.

Runs with the system's Python, which has Debian's AT-SPI bindings (python3-gi, gir1.2-atspi-2.0). Each line of its
standard input is JSON, ["press", "Done: C"]; each is answered by a line of JSON.
"""

import json
import sys
import time

import gi

gi.require_version("Atspi", "2.0")
from gi.repository import Atspi, GLib  # noqa: E402  # the version is chosen first

PATIENCE_S = 60
HEARD = []


def heard(event):
    """Note what a screen reader would say by itself, and where the focus went."""
    if event.type.startswith("object:announcement"):
        HEARD.append(["announced", event.any_data])
    elif event.type.startswith("object:state-changed:focused") and event.detail1:
        HEARD.append(["focus", event.source.get_role_name(), event.source.get_name()])


def go_on(seconds):
    """Let events come in for a while."""
    loop = GLib.MainLoop()
    GLib.timeout_add(int(1000 * seconds), loop.quit)
    loop.run()


def application():
    """Return the program's window, once it is there."""
    desktop = Atspi.get_desktop(0)
    for number in range(desktop.get_child_count()):
        found = desktop.get_child_at_index(number)
        if found is not None and found.get_child_count():
            return found
    return None


def states(thing):
    """Return the names of the states of a thing."""
    return {state.value_nick for state in thing.get_state_set().get_states()}


def all_of(thing):
    """Yield a thing and all that can be seen in it."""
    if thing is None or not {"showing", "visible"} & states(thing):
        return
    yield thing
    for number in range(thing.get_child_count()):
        yield from all_of(thing.get_child_at_index(number))


def tree():
    """Return what is told of the window now: role, name, description and states of each."""
    return [
        [one.get_role_name(), one.get_name(), one.get_description(), sorted(states(one))]
        for one in all_of(application())
    ]


def button(words):
    """Return what can be pressed and is named so, or begins with it."""
    there = [
        one
        for one in all_of(application())
        if one.get_n_actions() and one.get_action_name(0) == "Press" and "sensitive" in states(one)
    ]
    exact = [one for one in there if one.get_name() == words or one.get_name().split(", ")[0] == words]
    return next(iter([*exact, *(one for one in there if one.get_name().startswith(words))]), None)


def until(found):
    """Look again and again until something is there."""
    given_up = time.monotonic() + PATIENCE_S
    while (there := found()) is None and time.monotonic() < given_up:
        go_on(0.1)
    return there


def press(words):
    """Press what is named so; tell what was heard since the last answer."""
    found = until(lambda: button(words))
    if found is None:
        return {"missing": words, "tree": tree()}
    found.do_action(0)
    return {}


def typed(words):
    """Write into the field that takes text."""
    field = until(lambda: next((one for one in all_of(application()) if "editable" in states(one)), None))
    if field is None:
        return {"missing": "a field", "tree": tree()}
    field.set_text_contents(words)
    return {}


def answer(verb, words):
    """Do what a line says."""
    said = press(words) if verb == "press" else typed(words) if verb == "type" else {}
    if verb == "hear":
        until(lambda: True if any(words in str(one[-1]) for one in HEARD) else None)
        go_on(0.5)  # what would be said a second time
    elif verb == "read":
        until(lambda: True if any(words in one[1] for one in tree()) else None)
    elif verb == "focus":
        until(lambda: True if any("focused" in one[3] and words in one[1] for one in tree()) else None)
    said = {**said, "heard": list(HEARD), "tree": tree()}
    HEARD.clear()
    return said


def main():
    """Answer line by line."""
    Atspi.init()
    listener = Atspi.EventListener.new(heard)
    for name in ("object:announcement", "object:state-changed:focused"):
        listener.register(name)
    until(application)
    for line in sys.stdin:
        verb, words = json.loads(line)
        sys.stdout.write(json.dumps(answer(verb, words)) + "\n")
        sys.stdout.flush()


if __name__ == "__main__":
    main()
