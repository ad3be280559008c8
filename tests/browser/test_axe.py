"""axe-core over every page: no violation that it calls serious or critical.

axe-core 4.14.1 (MPL-2.0) as released, tests/vendor_axe; its rules follow WCAG 2.2 and common practice.
"""

import vendor
from addresses import addresses
from floor import run, until

AXE = (vendor.TESTS_OWN / "axe-core" / "axe.min.js").read_text()
# Everything by day; what a theme changes is colour alone.
ASK = """async (given) => {
  document.documentElement.dataset.theme = given;
  const rules = given === 'day' ? {} : { runOnly: ['color-contrast'] };
  const { violations } = await axe.run(document, { resultTypes: ['violations'], ...rules });
  return violations.filter(({ impact }) => impact === 'serious' || impact === 'critical')
    .map(({ id, help, nodes }) => `${given}: ${id} (${help}): ${nodes[0].html.slice(0, 160)}`);
}"""


def found_on_every_page(page) -> list[str]:
    page.evaluate(f"() => {{ {AXE} }}")
    found, dimmed = [], set()
    for name, hash_ in addresses(page).items():
        page.evaluate("(hash) => { location.hash = hash; }", hash_)
        page.wait_for_timeout(100)
        assert not page.locator("main.trouble").count(), f"{name}: {page.locator('main').inner_text()}"
        pattern = name.split(" ")[0]
        themes = ("day",) if pattern in dimmed else ("day", "dim")  # the colours of a pattern's pages are the same
        dimmed.add(pattern)
        found += [f"{name}, {say}" for theme in themes for say in page.evaluate(ASK, theme)]
    return found


def test_nothing_serious_on_any_page_of_a_full_book(phone, demo):
    device = phone(url=demo.url)
    page = device.open()
    until(page, "book.entries.length > 3000")
    run(page, "await book.setPerson('Ines')")
    assert found_on_every_page(page) == []
    assert device.errors == []


def test_nothing_serious_on_any_page_of_an_empty_book(phone):
    device = phone()
    assert found_on_every_page(device.open()) == []
    assert device.errors == []


def test_the_checker_finds_what_is_wrong(phone):
    page = phone().open()
    page.evaluate(f"() => {{ {AXE} }}")
    page.evaluate("() => { document.querySelector('main').append(document.createElement('button')); }")
    assert "button-name" in page.evaluate(ASK, "day")[0]

