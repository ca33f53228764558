"""Which drawings there are, and how one becomes a figure of a page."""

import importlib
from dataclasses import dataclass, replace
from functools import cache

from calc.render import svg
from calc.render.markup import Markup
from calc.result import Figure
from scripts.drawings import ruled
from scripts.drawings.board import WIDTH

TOPICS = {
    "path": "From the battery to the inverter",
    "arrangements": "From the inverter to the appliances",
    "faults": "When a conductor touches a metal case",
    "banks": "Batteries joined to one bank",
    "charging": "Putting it back",
    "measuring": "Where the meter goes",
    "appliances": "What is inside",
    "places": "Joints, gas and heat",
    "waves": "Waves and their harmonics",
    "curves": "Losses, energy and charge",
    "charts": "Charts to read off",
}
"""Each module and what it is about."""
CURVES = ("waves", "curves")
"""Modules whose drawings are curves; they stand on a page of their own, because a page may only weigh so much."""
CHARTS = "charts"
"""The module whose drawings are read off with a ruler: they stand in road/charts.md, a sheet each, and nowhere else."""

_MAKERS = {}


@dataclass(frozen=True)
class Drawing:
    """A picture with its words.

    `title` names it, `description` says in words what is connected to what and what it
    shows, `caption` stands below it.
    """

    name: str
    title: str
    description: str
    caption: str
    picture: object  # Board or Figure


def drawing(name, title, description, caption):
    """Enter the function below into the registry; it returns the picture, and may return words for the blanks."""

    def enter(make):
        _MAKERS[name] = (make, title, description, caption)
        return make

    return enter


def names():
    """Every drawing's name, in the order of the modules."""
    _import_all()
    return list(_MAKERS)


def by_topic(curves):
    """Words for each topic, and the names of its drawings, the charts left out.

    Parameters
    ----------
    curves : bool
        The topics of curves, or the others.

    Returns
    -------
    dict of list
        In the order of `names()`.
    """
    return {
        words: [name for name in names() if _MAKERS[name][0].__module__.endswith(f".{module}")]
        for module, words in TOPICS.items()
        if (module in CURVES) == curves and module != CHARTS
    }


@cache
def load(name):
    """One drawing, made once.

    Parameters
    ----------
    name : str
        One of `names()`.

    Returns
    -------
    Drawing
        With its picture.
    """
    _import_all()
    make, title, description, caption = _MAKERS[name]
    made = make()
    picture, values = made if isinstance(made, tuple) else (made, {})
    description = description.format(**values)
    if isinstance(picture, Figure):
        picture = replace(picture, title=title, description=description)
    return Drawing(name, title, description, caption.format(**values), picture)


@cache
def _import_all():
    for module in TOPICS:
        importlib.import_module(f"scripts.drawings.{module}")


def draw(name, id):
    """A drawing as a figure with its caption.

    Parameters
    ----------
    name : str
        One of `names()`.
    id : str
        Prefix that keeps ids apart where a drawing stands twice on a page.

    Returns
    -------
    Markup
        A `figure` element; a curve has its data as a table behind it.
    """
    one = load(name)
    if isinstance(one.picture, Figure):
        data = Markup('<details id="{id}-data"><summary>The figure’s data</summary><div class="scroll">{table}</div></details>').format(
            id=id, table=svg.table(one.picture)
        )
        return _figure((ruled if isinstance(one.picture, ruled.Chart) else svg).draw(one.picture, id), f"{one.title}.", one.caption, data)
    drawn = Markup(
        '<svg class="figure circuit" viewBox="0 0 {w} {h}" role="img" aria-labelledby="{id}-title" aria-describedby="{id}-desc">'
        '<title id="{id}-title">{title}</title><desc id="{id}-desc">{desc}</desc>{body}</svg>'
    ).format(w=WIDTH, h=one.picture.height, id=id, title=one.title, desc=one.description, body=one.picture.body())
    return _figure(drawn, f"{one.title}.", one.caption, "")


def _figure(drawn, title, caption, more):
    return Markup('<figure class="drawing" data-search-exclude="">{}<figcaption>{} <span>{}</span></figcaption>{}</figure>').format(drawn, title, caption, more)
