"""A gloved finger on the reckoner's pages: keys, fields, rows, what the page says."""

import re

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


class Glove:
    """Drives one page of the app by touch."""

    def __init__(self, page):
        self.page = page

    def go(self, hash_: str):
        """To another page as a link would: nothing is loaded anew."""
        self.page.evaluate("(hash) => { location.hash = hash; }", hash_)
        self.page.wait_for_timeout(150)

    def keys(self, text: str):
        pad = self.page.get_by_role("group", name="Keypad")
        for sign in text:
            pad.get_by_role("button", name=KEYS.get(sign, sign), exact=True).tap()

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
        """Type into fields by their labels: `put(Bulk_at="15.0")`."""
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
        self.page.get_by_role("button", name=name).first.tap()
        self.page.wait_for_timeout(150)

    def link(self, name: str):
        self.page.get_by_role("link", name=name).first.tap()
        self.page.wait_for_timeout(150)

    def how(self) -> str:
        """Unfold the working and read it."""
        details = self.page.locator("details.how")
        if not details.evaluate("(node) => node.open"):
            details.locator("summary").tap()
        return plain(details.inner_text())

    def says(self) -> str:
        return plain(self.page.locator("main").inner_text())

    def foot(self) -> str:
        return plain(self.page.locator(".foot").inner_text())


def plain(text: str) -> str:
    """Thousands written together, all other spaces and line ends as one; tabs stay between the cells of a row."""
    return re.sub(r"[^\S\t]+", " ", re.sub(r"(?<=\d)\u00a0(?=\d{3}\b)", "", text))
