"""A gloved finger on the pages: keys, fields, rows, the time, what the page says."""

import re

from asking import at_rest, wait_until
from floor import run, until

SETUP = """
  const number = (typed, unit) => ({ typed, unit });
  const units = { volume: 'L', mass: 'kg', temperature: 'C', strength: 'abv', alcohol: 'LPA', ...given.units };
  const house = { name: 'Test house', zone: 'Europe/Vienna', day_start: '06:00', shifts: ['06:00'], market: 'EU' };
  await book.write('site', { ...house, units }, { by: 'Ines' });
  await book.write('person', { name: 'Ines' }, { by: 'Ines' });
  await book.setPerson('Ines');
  for (const [tag, capacity, room, volume, abv, warm] of given.vessels) {
    const holds = { capacity_l: number(capacity, 'L'), room_l: number(room, 'L') };
    await book.write('vessel', { tag, sort: 'reduction', ...holds, account: 'processing' });
    const gauge = { volume: number(volume, 'L'), temperature: number(warm, 'C'), strength: number(abv, 'abv') };
    if (volume) await book.write('opening', { vessel: tag, holds: 'hearts', gauge });
  }
"""

KEYS = {".": "Decimal sign", ",": "Decimal sign", "-": "Minus", "<": "Erase"}

# given: the pad's name and the key's; where to put the finger down, or null while there is nothing to press
KEY = """([pad, name]) => {
  const pads = [...document.querySelectorAll('[role=group]')].filter((one) => one.ariaLabel === pad);
  const inPanel = pads.filter((one) => one.closest('.panel')); // an open panel lies over the page and its pad
  const keys = [...((inPanel.length ? inPanel : pads).at(-1)?.querySelectorAll('button') ?? [])];
  const named = (one) => (one.ariaLabel ?? one.textContent.trim()).toLowerCase() === name.toLowerCase();
  const [key, ...others] = keys.filter(named);
  if (!key || others.length || key.disabled || key.ariaDisabled === 'true') return null;
  const { left, top, width, height } = key.getBoundingClientRect();
  const at = [left + width / 2, top + height / 2];
  return key.contains(document.elementFromPoint(...at)) ? at : null;
}"""


def tap_keys(page, names, pad: str = "Keypad") -> None:
    """A finger on one key after another of a pad, of the open panel's where there is one: it must be there, uncovered.

    As a locator's tap, at half its price: that the pad stands still is seen once, not for each key.
    """
    at_rest(page)
    for name in names:
        page.touchscreen.tap(*wait_until(page, KEY, [pad, name]))
    at_rest(page)


def press(page, name: str, exact: bool = False) -> None:
    """A finger on the first key of that name, and what follows from it."""
    page.get_by_role("button", name=name, exact=exact).first.tap()
    at_rest(page)


def keep_offers(page) -> None:
    """What is offered for ten seconds, to take back what was written, stays: a slow machine may need longer."""
    page.evaluate("() => { window.setInterval = () => 0; }")


def takes_answers(page) -> None:
    """Wait until a list of checks takes another answer: for 0.7 s after one it takes none, and is drawn so."""
    wait_until(page, "() => !document.querySelector('[data-rests]')")


class Glove:
    """Drives one page of the app by touch."""

    def __init__(self, page):
        self.page = page

    def go(self, hash_: str):
        """To another page as a link would: nothing is loaded anew."""
        self.page.evaluate("(hash) => { location.hash = hash; }", hash_)
        self.turned()

    def turned(self):
        """Wait until the page stands that the address names: after a key or a link, it may still have to load."""
        at_rest(self.page)

    def keys(self, text: str):
        tap_keys(self.page, [KEYS.get(sign, sign) for sign in text])

    def field(self, label: str):
        """Go to a field, turning to its group of three where it is not in sight."""
        fields = self.page.get_by_role("group", name="Fields")
        for _ in range(3):
            found = fields.get_by_role("button", name=re.compile(f"^{re.escape(label)}"))
            if found.count():
                found.tap()
                return
            fields.get_by_role("button", name="More fields").tap()
        raise AssertionError(f"There is no field {label}: {fields.inner_text()}")

    def put(self, **typed: str):
        """Type into fields by their labels: `put(In_bulk="15.0")`."""
        for label, text in typed.items():
            if self.page.get_by_role("group", name="Fields").count():
                self.field(label.replace("_", " "))
            self.keys(text)

    def unit(self, wanted: str):
        """Press the unit key until it says what is wanted."""
        key = self.page.get_by_role("button", name=re.compile("^Unit "))
        for _ in range(7):
            if key.inner_text() == wanted:
                return
            key.tap()
        raise AssertionError(f"The unit key never said {wanted}")

    def button(self, name: str):
        press(self.page, name)

    def held(self, name: str):
        """A press on a key that is held: it must be there, say that it is held, and do nothing."""
        key = self.page.get_by_role("button", name=name).first
        assert key.get_attribute("aria-disabled") == "true"
        key.tap(force=True)  # Playwright itself waits for a key that is not held
        self.turned()

    def link(self, name: str):
        self.page.get_by_role("link", name=name).first.tap()
        self.turned()

    def pick(self, group: str, name: str):
        """One of the large keys of a list, by the list's name."""
        keys = self.page.get_by_role("group", name=group, exact=True)
        keys.get_by_role("button", name=re.compile(rf"^{re.escape(name)}(\W|$)")).first.tap()
        self.turned()

    def letters(self, text: str):
        tap_keys(self.page, text, "Letters")

    def ago(self, minutes: int):
        """It happened 5 or 10 minutes ago."""
        self.page.locator(".head button[aria-haspopup=dialog]").tap()
        self.page.get_by_role("button", name=re.compile(f"^{minutes} min")).tap()

    def yesterday(self, clock: str):
        """It happened yesterday at `0800`."""
        self.page.locator(".head button[aria-haspopup=dialog]").tap()
        self.page.get_by_role("button", name="A day earlier").tap()
        self.keys(clock)
        self.page.get_by_role("button", name=re.compile("^Take ")).tap()

    def write(self, name: str = "Write it in the book", sure: str | None = None):
        """The main action. sure: part of the one question that the page must ask first; yes is said."""
        self.button(name)
        asked = self.page.get_by_role("alertdialog")
        if sure is not None:
            assert sure in plain(asked.inner_text())
            self.button("Yes, so it is")
        assert not asked.count(), asked.inner_text()

    def written(self, kind: str, sure: str | None = None):
        """The main action, and wait until the book has one more of this kind."""
        before = run(self.page, "return book.entries.filter((e) => e.kind === given).length", kind)
        self.write(sure=sure)
        given = {"kind": kind, "n": before}
        until(self.page, "book.entries.filter((e) => e.kind === given.kind).length > given.n", given)
        self.turned()

    def next(self):
        self.button("Next: ")

    def mark(self, letters: str, digits: str):
        """A mark such as M50, by both sheets of the letter pad."""
        self.letters(letters)
        self.button("123")
        self.letters(digits)

    def how(self) -> str:
        """Unfold the working and read it."""
        details = self.page.locator("details.how")
        if not details.evaluate("(node) => node.open"):
            details.locator("summary").tap()
        return self.text_of("details.how")

    def says(self) -> str:
        return self.text_of("main")

    def head(self) -> str:
        return self.text_of(".head")

    def foot(self) -> str:
        return self.text_of(".foot")

    def panel(self) -> str:
        return self.text_of(".panel")

    def foot_of_panel(self) -> str:
        return self.text_of(".panel .foot")

    def text_of(self, selector: str) -> str:
        """What stands there once the page is at rest."""
        self.turned()
        return plain(self.page.locator(selector).inner_text())


def plain(text: str) -> str:
    """Thousands written together, all other spaces and line ends as one; tabs stay between the cells of a row."""
    return re.sub(r"[^\S\t]+", " ", re.sub(r"(?<=\d)\u00a0(?=\d{3}\b)", "", text))
