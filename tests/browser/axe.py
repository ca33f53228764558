"""The rules of axe-core, up to its strictest level of contrast."""

from pathlib import Path

SOURCE = (Path(__file__).resolve().parents[2] / "node_modules/axe-core/axe.min.js").read_text()

# color-contrast-enhanced is 7:1, the strictest level, which axe-core leaves off unless asked. It passes over what
# is below 4.5:1, which is another rule's; here it judges that too, and the other is not needed.
SET_UP = """{
    // Its options are given as a whole, or not at all.
    const { options } = axe._audit.checks["color-contrast-enhanced"];
    const contrastRatio = { normal: { expected: 7 }, large: { expected: 4.5 } };
    axe.configure({ checks: [{ id: "color-contrast-enhanced", options: { ...options, contrastRatio } }] });
}"""
COLOURS = ["color-contrast-enhanced", "link-in-text-block"]
# What every page shows once more.
MENU = ".md-nav--primary"
CHECK = """async ([only, exclude]) => {
    // Of what passes it need not tell where; nothing has to be fetched for it, and no page holds another.
    const { violations, passes } = await axe.run({ include: [document], exclude }, { resultTypes: ["violations"], preload: false, iframes: false, ...(only ? { runOnly: only } : { rules: {
        "color-contrast": { enabled: false }, "color-contrast-enhanced": { enabled: true }, "target-size": { enabled: true }, "identical-links-same-purpose": { enabled: true },
    } }) });
    const told = violations.flatMap(({ id, nodes }) => nodes.map(({ target, failureSummary }) => `${id}: ${target} ${failureSummary}`));
    return { told, checked: passes.map(({ id }) => id) };
}"""


def check(page, only=None, without=()):
    """What is `told` against the page, and the rules that were `checked` on something.

    By `only` some rules, or all; `without` what these selectors name.
    """
    if not page.evaluate("'axe' in window"):
        # Through the driver: no policy of the page is in the way, and none has to be set aside.
        page.evaluate(SOURCE)
        page.evaluate(SET_UP)
    return page.evaluate(CHECK, [only, list(without)])
