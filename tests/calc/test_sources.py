"""The bibliography: every entry stands behind something that is said, and is never only listed."""

from calc import tables
from calc.sources import SOURCES
from tests.calc.cases import EVERY, answer


def test_every_source_is_used():
    """By a line of working, by what a calculator says in words, or by a table."""
    used = {source.id for calculator, case in EVERY for source in answer(calculator, case).sources}
    for table in map(tables.load, tables.names()):
        used |= {column.source for column in table.columns.values()} | {row["source"] for row in table.rows if "source" in row}
    assert used == set(SOURCES)


def test_what_is_said_in_words_has_its_source_too():
    assert {"mg1", "iec60034-1"} <= {source.id for source in answer("waveform", "the example").sources}, "a motor's harmonic voltage factor"
    assert "transfer-rules" in {source.id for source in answer("changeover", "the example").sources}
