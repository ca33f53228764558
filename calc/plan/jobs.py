"""The questions that take a whole plan, beside the calculators that take one form."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Job:
    """A question about a whole plan."""

    id: str
    title: str
    question: str


JOBS = {
    one.id: one
    for one in (
        Job("system-plan", "The whole recommendation", "What does this plan come to, step by step, and what is to be bought, built and handed over?"),
        Job("shortlist", "Which of these units?", "Which units of a catalogue carry this plan's own days, and what does each cost in energy?"),
    )
}
"""By id, in the order of the handbook."""
