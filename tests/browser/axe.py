"""The rules of axe-core, up to its strictest level of contrast."""

from pathlib import Path

SOURCE = (Path(__file__).resolve().parents[2] / "node_modules/axe-core/axe.min.js").read_text()

# color-contrast-enhanced is 7:1, the strictest level, which axe-core leaves off unless asked. It passes over
# what is below 4.5:1, which is the other rule's.
COLOURS = ["color-contrast", "color-contrast-enhanced", "link-in-text-block"]
# What every page shows once more.
MENU = ".md-nav--primary"
CHECK = """async ([only, exclude]) => {
    // Of what passes it need not tell where.
    const { violations, passes } = await axe.run({ include: [document], exclude }, { resultTypes: ["violations"], ...(only ? { runOnly: only } : { rules: {
        "color-contrast-enhanced": { enabled: true }, "target-size": { enabled: true }, "identical-links-same-purpose": { enabled: true },
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
    return page.evaluate(CHECK, [only, list(without)])
