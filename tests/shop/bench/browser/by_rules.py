"""What do the offline rules of access say of the page as it stands, in light and in dark?"""

from axe_playwright_python.base import AXE_SCRIPT
from playwright.sync_api import Page

# Only what breaks a rule is wanted back: the rest of the report is large and costs more than the rules.
RUN = """more => axe.run(document, {resultTypes: ['violations'], iframes: false, ...more}).then(found =>
  found.violations.map(row => [row.id, row.nodes[0].html.slice(0, 160)].join(': ')))"""
OPEN_ALL = "() => document.querySelectorAll('details').forEach(one => { one.open = true; })"
# The scheme moves colours and nothing else, so in the dark only the rules that look at colours are asked again.
SCHEMES = {
    "light": {},
    "dark": {"runOnly": {"type": "rule", "values": ["color-contrast", "link-in-text-block"]}},
}


def rule_faults(page: Page) -> list[str]:
    """Every rule that is broken, with everything folded open."""
    page.evaluate(OPEN_ALL)
    page.evaluate(AXE_SCRIPT)
    faults = []
    for scheme, rules in SCHEMES.items():
        page.emulate_media(color_scheme=scheme)
        faults += [f"{scheme}: {row}" for row in page.evaluate(RUN, rules)]
    page.emulate_media(color_scheme="light")
    return faults
