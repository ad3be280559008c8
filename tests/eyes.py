"""What a page must be for a wet glove and for every eye, as checks of the page that stands; each tells what is wrong.

57 px is 9 mm on such a phone (static/styles/tokens.css, --touch). axe-core 4.14.1 (MPL-2.0) as released,
tests/vendored; its rules follow WCAG 2.2 and common practice.
"""

import vendor
from asking import evaluate

THEMES = ("day", "night", "dim")
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
AXE = (vendor.TESTS_OWN / "axe-core" / "axe.min.js").read_text()
# Everything by day; what a theme changes is colour alone.
ASK = """async (given) => {
  document.documentElement.dataset.theme = given;
  const rules = given === 'day' ? {} : { runOnly: ['color-contrast'] };
  const { violations } = await axe.run(document, { resultTypes: ['violations'], ...rules });
  return violations.filter(({ impact }) => impact === 'serious' || impact === 'critical')
    .map(({ id, help, nodes }) => `${given}: ${id} (${help}): ${nodes[0].html.slice(0, 160)}`);
}"""


def hand(page) -> list[str]:
    """What a glove would miss, and what is cut off or beyond the edge, at the width that the page has."""
    return page.evaluate(SEEN, list(EXCEPTIONS))


def colours(page) -> list[str]:
    """Text or ground in a colour that no token of the theme has; in all three themes, without drawing the page anew."""
    found = []
    for theme in THEMES:
        page.evaluate("(theme) => { document.documentElement.dataset.theme = theme; }", theme)
        found += [f"{theme}: {say}" for say in page.evaluate(COLOURS)]
    return found


def bring_axe(page) -> None:
    page.evaluate(f"() => {{ {AXE} }}")


def axe(page, themes=("day",)) -> list[str]:
    """What axe-core calls serious or critical; themes besides day are asked for their contrast alone."""
    return [say for theme in themes for say in evaluate(page, ASK, theme)]
