"""Every topic, one a lesson, with its templates. Ids never change: seeds and results go by them."""

from dataclasses import dataclass

from calc.exercises.topics import (
    batteries,
    cable_and_joints,
    cut_out_margin,
    diagnosis,
    energy_and_standby,
    fuse,
    load_list,
    recharge,
    specification_sheet,
    stop_lines,
    waveform,
    words_and_units,
)


@dataclass(frozen=True)
class Topic:
    """What one lesson is about."""

    id: str
    lesson: int
    title: str
    templates: tuple


_LESSONS = (
    ("words-and-units", "Words and units", words_and_units),
    ("load-list", "The load list", load_list),
    ("energy-and-standby", "The energy of a day, and standby", energy_and_standby),
    ("batteries", "Batteries", batteries),
    ("cable-and-joints", "Cable and joints", cable_and_joints),
    ("cut-out-margin", "The cut-out margin", cut_out_margin),
    ("waveform", "Output shape", waveform),
    ("fuse", "Fuse and short circuit", fuse),
    ("recharge", "Recharge and bad weeks", recharge),
    ("stop-lines", "Stop lines", stop_lines),
    ("diagnosis", "Diagnosis", diagnosis),
    ("specification-sheet", "The specification sheet", specification_sheet),
)
TOPICS = {id: Topic(id, lesson, title, module.TEMPLATES) for lesson, (id, title, module) in enumerate(_LESSONS, 1)}
TEMPLATES = {one.id: (topic.id, one) for topic in TOPICS.values() for one in topic.templates}
