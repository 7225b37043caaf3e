"""What every page of ours must stand: an accessibility scan, a narrow screen, large text."""

from collections.abc import Callable

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

from barnrugs.barns.models import Person

Enter = Callable[[Page, Person], None]
"""Lets a person in at a page; a fixture."""

# WCAG 2.2 A and AA, the rule for 7:1 contrast (1.4.6, AAA) and axe-core's own good practice.
RULES = {
    "resultTypes": ["violations"],
    "runOnly": {
        "type": "tag",
        "values": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"],
    },
    "rules": {"color-contrast-enhanced": {"enabled": True}, "target-size": {"enabled": True}},
}


def violations(page: Page) -> list[str]:
    found = Axe().run(page, options=RULES).response
    assert found["passes"], "the scan looked at nothing"
    return [
        f"{rule['id']}: {node['target']} {node.get('failureSummary', '')}"
        for rule in found["violations"]
        for node in rule["nodes"]
    ]


def sideways(page: Page) -> int:
    """How many pixels the page is wider than the window."""
    return page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")


def enlarge_text(page: Page) -> None:
    """Text at 200 %, as a reader's own browser setting does it."""
    page.evaluate("document.documentElement.style.setProperty('font-size', '200%')")


def smaller_than(page: Page, selector: str, pixels: int) -> list[str]:
    """The texts of the matching elements in sight that are lower than so many pixels.

    All are measured in one go: a script may add or hide something between two looks.
    """
    page.locator(f"{selector}:visible").first.wait_for()
    found = page.evaluate(
        """(selector) => [...document.querySelectorAll(selector)].filter((one) => one.checkVisibility())
            .map((one) => [one.innerText, one.getBoundingClientRect().height])""",
        selector,
    )
    assert found, f"the page has no {selector}"
    return [text for text, height in found if height < pixels]


def boxes(page: Page, *selectors: str) -> list[dict[str, float]]:
    """Where the first element of each selector stands, all at one moment."""
    return page.evaluate(
        """(selectors) => selectors.map((one) => document.querySelector(one).getBoundingClientRect().toJSON())""",
        list(selectors),
    )
