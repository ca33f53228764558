"""The rules of axe-core, up to its strictest level of contrast."""

from pathlib import Path

SOURCE = (Path(__file__).resolve().parents[2] / "node_modules/axe-core/axe.min.js").read_text()

# color-contrast-enhanced is 7:1, the strictest level, which axe-core leaves off unless asked. It passes over what
# is below 4.5:1, which is another rule's; here it judges that too, and the other is not needed.
SET_UP = """([mark, colours]) => {
    // Its options are given as a whole, or not at all.
    const { options } = axe._audit.checks["color-contrast-enhanced"];
    const contrastRatio = { normal: { expected: 7 }, large: { expected: 4.5 } };
    axe.configure({
        checks: [{ id: "color-contrast-enhanced", options: { ...options, contrastRatio } }],
        rules: Object.entries(colours).map(([id, selector]) => ({ id, selector: `${selector}[${mark}]` })),
    });
}"""
# Judging colours takes most of axe's time, and most texts look as others did: the same elements with the same classes
# around them, in the same colours and sizes. One of a kind is marked and judged, and what axe was unsure of again.
COLOURS = {"color-contrast-enhanced": "", "link-in-text-block": "a[href]"}
MARK = "data-judged-here"
LOOKS = """(exclude) => {
    const known = new Map();
    const look = (element) => {
        if (!known.has(element)) {
            const { color, backgroundColor, backgroundImage, opacity, fontSize, fontWeight, textDecorationLine } = getComputedStyle(element);
            // However deep in a formula, a sign looks as its colour and size are.
            const formula = element.localName !== "math" && element.closest("math");
            const around = element === document.documentElement ? "" : look(formula || element.parentElement);
            known.set(element, [around, element.localName, element.getAttribute("class"), color, backgroundColor, backgroundImage, opacity, fontSize, fontWeight, textDecorationLine].join(" "));
        }
        return known.get(element);
    };
    const hasText = (element) => element.matches("input, select, textarea") || [...element.childNodes].some((each) => each.nodeType === Node.TEXT_NODE && each.data.trim());
    const texts = new Map();
    for (const element of document.body.querySelectorAll("*")) {
        if (!hasText(element) || exclude.some((each) => element.closest(each))) continue;
        if (!element.checkVisibility({ opacityProperty: true, visibilityProperty: true })) continue;
        if (!texts.has(look(element))) texts.set(look(element), element);
    }
    window.textsByLook = texts;
    return [...texts.keys()];
}"""
# What every page shows once more.
MENU = ".md-nav--primary"
CHECK = """async ([only, exclude, mark, looks]) => {
    const texts = looks.map((each) => textsByLook.get(each));
    for (const each of texts) each.setAttribute(mark, "");
    // Nothing has to be fetched for it, and no page holds another.
    const { violations, incomplete, passes } = await axe.run({ include: [document], exclude }, {
        resultTypes: ["violations", "incomplete"], elementRef: true, preload: false, iframes: false,
        ...(only ? { runOnly: only } : { rules: {
            "color-contrast": { enabled: false }, "color-contrast-enhanced": { enabled: true }, "target-size": { enabled: true }, "identical-links-same-purpose": { enabled: true },
        } }),
    });
    for (const each of texts) each.removeAttribute(mark);
    const told = violations.flatMap(({ id, nodes }) => nodes.map(({ target, failureSummary }) => `${id}: ${target} ${failureSummary}`));
    const unsure = incomplete.flatMap(({ nodes }) => nodes.map(({ element }) => element));
    return { told, checked: passes.map(({ id }) => id), settled: told.length ? [] : looks.filter((_, place) => !unsure.includes(texts[place])) };
}"""
judged: set[str] = set()
"""The looks of texts whose colours are known to be good."""


def check(page, without=()):
    """What is `told` against the page, and the rules that were `checked` on something; `without` what these selectors name."""
    return run(page, None, list(without), new_looks(page, list(without)))


def check_colours(page):
    """The same by the rules about colours, where a text looks as none did before."""
    looks = new_looks(page, [])
    return run(page, list(COLOURS), [], looks) if looks else {"told": [], "checked": []}


def new_looks(page, exclude):
    return [each for each in page.evaluate(LOOKS, exclude) if each not in judged]


def run(page, only, exclude, looks):
    if not page.evaluate("'axe' in window"):
        # Through the driver: no policy of the page is in the way, and none has to be set aside.
        page.evaluate(SOURCE)
        page.evaluate(SET_UP, [MARK, COLOURS])
    found = page.evaluate(CHECK, [only, exclude, MARK, looks])
    judged.update(found.pop("settled"))
    return found
