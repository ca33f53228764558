"""What a browser is asked before it prints: whether all of it fits."""

import pytest
from lxml import html
from printing import book as books
from printing.failure import PrintFailure
from printing.press import printed

STYLE = "body { margin: 0; }"


def sheet(content):
    return books.sheets("proof", "Proof", books.A5, [html.fromstring(content)], STYLE)


def test_what_fits_is_printed(browser, tmp_path):
    assert printed(browser, sheet('<div class="form-sheet" id="sheet"><p>Short</p></div>'), tmp_path).read_bytes().startswith(b"%PDF")


@pytest.mark.parametrize(
    "content, words",
    [
        ('<section id="wide"><table id="broad"><tr><td>' + "wide" * 60 + "</td></tr></table></section>", "wide: table #broad .* too wide"),
        ('<section id="tall"><div class="form-sheet" id="long">' + "<p>line</p>" * 90 + "</div></section>", "tall: div #long .* too tall"),
        (
            '<section id="clipped"><table id="fixed" style="table-layout: fixed; width: 100px"><tr><td>' + "unbroken" * 9 + "</td><td>b</td></tr></table></section>",
            "clipped: td #fixed .* does not fit its cell",
        ),
    ],
)
def test_what_does_not_fit_ends_the_printing_with_its_place(browser, tmp_path, content, words):
    with pytest.raises(PrintFailure, match=words):
        printed(browser, sheet(content), tmp_path)
    assert not list(tmp_path.glob("*.pdf"))
