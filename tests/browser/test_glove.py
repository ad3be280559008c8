"""A wet glove at the still: every page at two widths of phone, what it hits and what it reads.

57 px is 9 mm on such a phone (static/styles/tokens.css, --touch); the widths are those of the design.
"""

import pytest
from addresses import addresses
from floor import run, until

SIZES = [(393, 851), (320, 693)]
# Not for a glove, and why
EXCEPTIONS = {
    "input.away": "the file field behind a key that is large enough; the key is its label",
}
SEEN = """(exceptions) => {
  const frame = document.querySelector('.frame');
  const main = frame.querySelector(':scope > main');
  const shown = [...frame.querySelectorAll('*')].filter((one) => !one.closest('svg, .away') && one.checkVisibility());
  const words = (one) => (one.getAttribute('aria-label') || one.textContent).trim().slice(0, 40);
  const name = (one) => `${one.tagName.toLowerCase()} ${words(one)}`;
  const wide = (one) => one.scrollWidth - one.clientWidth;
  const found = [];
  if (wide(main) > 0) found.push(`main scrolls sideways by ${wide(main)} px`);
  if (document.documentElement.scrollWidth > innerWidth) found.push('the page scrolls sideways');
  for (const one of frame.querySelectorAll('button, a[href], summary, input, select, textarea')) {
    if (!one.checkVisibility() || exceptions.some((exception) => one.matches(exception))) continue;
    const { width, height } = one.getBoundingClientRect();
    if (width < 56.9 || height < 56.9) found.push(`${name(one)}: ${Math.round(width)} x ${Math.round(height)} px`);
  }
  for (const one of shown) {
    const { display, overflowY } = getComputedStyle(one);
    const scrolls = one.closest('.runsheet section, .sideways') !== null; // a table that scrolls by itself
    const isText = [...one.childNodes].some((node) => node.nodeType === Node.TEXT_NODE && node.data.trim());
    if (display === 'inline' || one.tagName === 'INPUT' || scrolls) continue;
    if (one.clientWidth && wide(one) > 2) found.push(`${name(one)}: ${wide(one)} px too wide`);
    const isCut = isText && overflowY === 'hidden' && one.scrollHeight > one.clientHeight + 2;
    if (isCut) found.push(`${name(one)}: cut off below`);
    const { left, right } = one.getBoundingClientRect();
    if (isText && (right > innerWidth + 1 || left < -1)) found.push(`${name(one)}: beyond the edge`);
  }
  return found;
}"""
# Every colour of text and ground is a token of the theme in use; the contrast of those is tests/looks/test_tokens.py
COLOURS = """() => {
  const probe = document.body.appendChild(document.createElement('i'));
  const names = ['plate', 'key', 'ink', 'ink-2', 'copper', 'act', 'on'];
  const token = (name) => { probe.style.color = `var(--${name})`; return getComputedStyle(probe).color; };
  const told = (sheet) => { (sheet ?? document.body).append(probe); return new Set(names.map(token)); };
  const found = new Set();
  const known = told(document.querySelector('.sheet'));
  probe.remove();
  for (const one of document.querySelectorAll('.frame, .frame *')) {
    if (one.closest('svg') || !one.checkVisibility()) continue;
    const isText = [...one.childNodes].some((node) => node.nodeType === Node.TEXT_NODE && node.data.trim());
    const { color, backgroundColor, opacity } = getComputedStyle(one);
    if (isText && !known.has(color)) found.add(`${one.tagName} ${one.className}: text ${color}`);
    if (isText && opacity !== '1') found.add(`${one.tagName} ${one.className}: opacity ${opacity}`);
    const isGround = backgroundColor !== 'rgba(0, 0, 0, 0)';
    const name = `${one.tagName} ${one.className}`;
    if (isGround && !known.has(backgroundColor)) found.add(`${name}: ground ${backgroundColor}`);
  }
  return [...found];
}"""


@pytest.fixture(params=["demo", "empty"])
def house(request, phone):
    """A phone over the demo's book, and one over an empty one."""
    device = phone(url=request.getfixturevalue("demo").url if request.param == "demo" else None)
    page = device.open()
    if request.param == "demo":
        until(page, "book.entries.length > 3000")
        run(page, "await book.setPerson('Ines')")
    yield page
    assert device.errors == []


def test_every_page_fits_the_hand(house):
    found = []
    for width, height in SIZES:
        house.set_viewport_size({"width": width, "height": height})
        for name, hash_ in addresses(house).items():
            turn(house, hash_)
            found += [f"{width} px, {name}: {say}" for say in house.evaluate(SEEN, list(EXCEPTIONS))]
    assert not found, "\n".join(found)


def test_text_takes_its_colours_from_the_tokens_in_all_three_themes(house):
    found = set()
    for theme in ("day", "night", "dim"):
        house.evaluate("(theme) => { document.documentElement.dataset.theme = theme; }", theme)
        for name, hash_ in addresses(house).items():
            turn(house, hash_)
            found |= {f"{theme}, {name}: {say}" for say in house.evaluate(COLOURS)}
    assert not found, "\n".join(sorted(found))


def turn(page, hash_: str):
    page.evaluate("(hash) => { location.hash = hash; }", hash_)
    page.wait_for_timeout(60)
    assert page.locator(".frame > main").count(), f"{hash_}: {page.locator('body').inner_text()}"


def test_the_check_sees_a_small_key_and_a_strange_colour(phone):
    page = phone().open()
    page.evaluate("""() => {
      const key = document.createElement('button');
      key.textContent = 'small';
      key.style.cssText = 'width:20px;height:20px;min-width:0;min-height:0;padding:0;color:rgb(1,2,3)';
      document.querySelector('main').append(key);
    }""")
    assert any("20 x 20" in say for say in page.evaluate(SEEN, []))
    assert any("rgb(1, 2, 3)" in say for say in page.evaluate(COLOURS))
