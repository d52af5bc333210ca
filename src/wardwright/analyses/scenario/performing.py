"""From the word in the script to what it comes to."""

from collections.abc import Callable

from wardwright.analyses.scenario import keying, walking
from wardwright.analyses.scenario.deeds import Deed, Standing
from wardwright.analyses.scenario.people import People, Turn
from wardwright.analyses.scenario.script import Act, Actor
from wardwright.errors import InputError

DEEDS: dict[str, Callable[[People, Turn], Deed]] = {
    "go to": walking.go,
    "walk": walking.walk,
    "come in": walking.come_in,
    "leave": walking.leave,
    "break in": walking.break_in,
    "take": walking.take,
    "call at": walking.call,
    "open": walking.open_or_shut,
    "shut": walking.open_or_shut,
    "wait": walking.wait,
    "press": keying.press,
    "roam": keying.roam,
    "wrong code": keying.at_keypad,
    **dict.fromkeys(keying.ASKS, keying.at_keypad),
}


def perform(people: People, actor: Actor, standing: Standing, act: Act, number: int) -> Deed:
    """Work out one act.

    Parameters
    ----------
    people : People
        Building and system in the mode it is in now.
    actor : Actor
        Who.
    standing : Standing
        Where from.
    act : Act
        What.
    number : int
        Its place in the script, from 1, for messages.

    Returns
    -------
    Deed
        What it comes to.

    Raises
    ------
    InputError
        If it cannot be done, naming actor, act and place.
    """
    try:
        return DEEDS[act.do](people, Turn(actor, standing, act, people.pace(actor, act)))
    except InputError as error:
        raise InputError(error.message, where=f"{actor.called}, act {number} ({act.do})") from None
