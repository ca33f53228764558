"""Our quicker markup escapes exactly as MarkupSafe does."""

import markupsafe
from hypothesis import given
from hypothesis import strategies as st

from calc.render.markup import Markup

VALUES = st.one_of(st.text(), st.integers(), st.floats(allow_nan=False), st.none(), st.text().map(markupsafe.Markup), st.text().map(Markup))


@given(VALUES, VALUES, VALUES)
def test_format_is_the_same(one, two, three):
    template = '<p class="{}">{} {here}</p>{{}}'
    ours = Markup(template).format(one, two, here=three)
    assert ours == markupsafe.Markup(template).format(one, two, here=three)
    assert isinstance(ours, Markup)


@given(VALUES, st.lists(VALUES))
def test_join_is_the_same(between, parts):
    ours = Markup("<br>").join(parts)
    assert ours == markupsafe.Markup("<br>").join(parts)
    assert isinstance(ours, Markup) and isinstance(ours + str(between), Markup)


def test_a_script_is_text():
    assert Markup("<b>{}</b>").format("<script>alert('x')</script>") == "<b>&lt;script&gt;alert(&#39;x&#39;)&lt;/script&gt;</b>"
    assert Markup("").join(["<i>", Markup("<i>")]) == "&lt;i&gt;<i>"
