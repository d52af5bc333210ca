"""Two standards, two tongues: the panel speaks EN 50131-1, and is put into the terms of ANSI/SIA CP-01 where asked."""

import re

CP_01: dict[str, str] = {
    "set with people inside": "armed stay",
    "set inside": "arm stay",
    "set away": "arm away",
    "failed to set": "failed to arm",
    "not set": "not armed",
    "setting": "arming",
    "set period": "armed period",
    "unset under duress": "duress disarm",
    "unsetting": "disarming",
    "unset": "disarmed",
    "entry time": "entry delay",
    "exit time": "exit delay",
    "left out": "bypassed",
    "leave out": "bypass",
    "inhibit": "bypass",
    "inhibited": "bypassed",
    "final door": "designated exit door",
    "final exit": "designated exit",
}
"""Term of EN 50131-1 -> term of ANSI/SIA CP-01. Both from memory, as the trade uses them."""

_LONGEST_FIRST = re.compile(
    r"\b(" + "|".join(re.escape(term) for term in sorted(CP_01, key=len, reverse=True)) + r")\b", re.IGNORECASE
)


def in_terms_of_cp_01(text: str) -> str:
    """A sentence in the terms of ANSI/SIA CP-01.

    Parameters
    ----------
    text : str
        In the terms of EN 50131-1.

    Returns
    -------
    str
        The same, with each term in the other tongue; a capital stays one.
    """

    def turned(found: re.Match[str]) -> str:
        word = CP_01[found[0].lower()]
        return word[0].upper() + word[1:] if found[0][0].isupper() else word

    return _LONGEST_FIRST.sub(turned, text)
