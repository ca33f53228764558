"""How wide words are, so that they can be broken into lines before any browser sees them."""

SIZE = 12.5
"""Of the letters in a drawing, in its units; the style sheet says the same."""

_SHARES = {
    **dict.fromkeys("iljI|!'’", 0.29),
    **dict.fromkeys(" .,:;", 0.32),
    **dict.fromkeys("frt()[]-/", 0.39),
    **dict.fromkeys("aceszxvky", 0.58),
    **dict.fromkeys("mwMW%@—", 0.93),
}


def width(words, strong=False):
    """About the width of a line in a wide face, so that narrower ones fit too.

    Parameters
    ----------
    words : str
        One line.
    strong : bool
        Whether it is bold.

    Returns
    -------
    float
        Units of the drawing.
    """
    return SIZE * (1.12 if strong else 1.0) * sum(_SHARES.get(sign, 0.64) for sign in words)


def wrap(words, room, strong=False):
    """Words broken into lines that fit.

    Parameters
    ----------
    words : str
        Any number of words.
    room : float
        Width of a line, in units of the drawing.
    strong : bool
        Whether they are bold.

    Returns
    -------
    list of str
        Lines; a single word that is too long stands alone.
    """
    lines = []
    for word in words.split():
        if lines and width(f"{lines[-1]} {word}", strong) <= room:
            lines[-1] += f" {word}"
        else:
            lines.append(word)
    return lines
