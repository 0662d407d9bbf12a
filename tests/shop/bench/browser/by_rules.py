"""What do the offline rules of access say of the page as it stands, in light and in dark?"""

from axe_playwright_python.base import AXE_SCRIPT
from playwright.sync_api import Page

# Only what breaks a rule is wanted back: the rest of the report is large and costs more than the rules.
RUN = """() => axe.run(document, {resultTypes: ['violations'], iframes: false}).then(found =>
  found.violations.map(row => [row.id, row.nodes[0].html.slice(0, 160)].join(': ')))"""
OPEN_ALL = "() => document.querySelectorAll('details').forEach(one => { one.open = true; })"
SCHEMES = ("light", "dark")


def rule_faults(page: Page) -> list[str]:
    """Every rule that is broken, with everything folded open."""
    page.evaluate(OPEN_ALL)
    page.evaluate(AXE_SCRIPT)
    faults = []
    for scheme in SCHEMES:
        page.emulate_media(color_scheme=scheme)
        faults += [f"{scheme}: {row}" for row in page.evaluate(RUN)]
    page.emulate_media(color_scheme="light")
    return faults
