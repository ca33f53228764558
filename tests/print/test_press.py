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


def test_what_is_read_is_nine_points_at_least(browser, shelf):
    """In the field guide as it is printed: paragraphs and lists, stops and cautions too, all but captions, sheets and page numbers."""
    page = browser.new_page()
    page.emulate_media(media="print")
    page.goto((shelf / "field-guide-a5.html").as_uri())
    sizes = page.evaluate("""() => [...document.querySelectorAll(".chapter :is(p, li, dd)")]
      .filter((each) => !each.closest("table, figure, .form-sheet, .pocket-sheet"))
      .map((each) => [Math.round(parseFloat(getComputedStyle(each).fontSize) * 7.5) / 10, each.textContent.trim().slice(0, 40)])""")
    page.close()
    assert len(sizes) > 300
    assert [one for one in sizes if one[0] < 9] == []
