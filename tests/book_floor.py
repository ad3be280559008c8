"""A house with a book, and what a hand does on the book's pages: for tests in a browser."""

import re

from asking import at_rest
from glove import KEYS, tap_keys

HOUSE = """
  const TN = (typed, unit) => ({ typed, unit });
  const by = { by: 'Ines' };
  await book.write('site', {
    name: 'Emmerfold', zone: 'Europe/Vienna', day_start: '06:00', shifts: ['06:00'], market: 'EU', reading_min: 20,
    units: { volume: 'L', mass: 'kg', temperature: 'C', strength: 'abv', alcohol: 'LPA' },
    remote_stop: 'red knob by the yard door', way_out: 'yard door', muster_point: 'the gate',
    emergency_number: '112', address: 'Mill Lane 4',
  }, by);
  for (const name of ['Ines', 'Oskar']) await book.write('person', { name }, by);
  for (const [tag, sort, capacity] of [['L-1', 'tank', '800'], ['H-2', 'receiver', '150'], ['S-1', 'tank', '300']]) {
    await book.write('vessel', { tag, sort, capacity_l: TN(capacity, 'L'), account: 'production' }, by);
  }
  await book.write('still', { tag: 'Column', sort: 'column', capacity_l: TN('600', 'L'), plates: 9 }, by);
  await book.setPerson('Ines');
"""
# given: volume [L], and tag, ago_min, strikes where they are not S-1, now, none
GAUGE = """
  const TN = (typed, unit) => ({ typed, unit });
  const gauge = { volume: TN(given.volume, 'L'), temperature: TN('20.0', 'C'), strength: TN('96.3', 'abv') };
  const happened = new Date(Date.now() - (given.ago_min ?? 0) * 6e4).toISOString();
  const said = { vessel: given.tag ?? 'S-1', gauge, holds: 'hearts' };
  return (await book.write('opening', said, { happened, strikes: given.strikes })).id;
"""
SUMS = """
  const sumsOf = (tag) => {
    const { ethanol_mg, liquid_mg, extract_mg } = book.state.places['vessel/' + tag];
    return { ethanol_mg, liquid_mg, extract_mg };
  };
"""
# A run that began given.ago_min ago, and its reading half an hour later
READING = (
    SUMS
    + """
  const TN = (typed, unit) => ({ typed, unit });
  const still = 'Column';
  const at = (min) => ({ happened: new Date(Date.now() - (given.ago_min - min) * 6e4).toISOString() });
  const parts = [{ vessel: 'L-1', by: 'all', book: sumsOf('L-1') }];
  const charge = { run: 'R-31', still, sort: 'column', parts };
  const group = (await book.write('charge', charge, { group: 'self', ...at(0) })).id;
  const start = { still, open_stops: [], passed: [], already_running: false, zone_read: true };
  await book.write('start', start, { group, ...at(1) });
  const before = { ethanol_mg: 0, liquid_mg: 0, extract_mg: 0 };
  const to = { receiver: 'H-2', fraction: 'hearts', before };
  await book.write('cut', { still, from: null, to }, { group, ...at(5) });
  const strength = { strength: TN('96.9', 'glass'), strength_temperature: TN('22.7', 'C') };
  const said = { still, ...strength, receiver: 'H-2', level: TN('25.0', 'L') };
  return (await book.write('reading', said, { group, ...at(30) })).id;
"""
)
# given: how many entries of another phone lie in this one's storage when it is opened again
LONG_BOOK = """
  const { compose } = await import('/book/compose.js');
  const other = 'Q.00000000';
  const rows = Array.from({ length: given }, (_, i) => {
    const said = { what: 'handover', to: 'Oskar', words: `word ${i}` };
    const context = { now: Date.now() - i * 3e5, site: device.site, device: other, n: i + 1, by: 'Ines', offsetMin: 0 };
    const entry = compose('event', said, context);
    return { id: entry.id, text: JSON.stringify(entry), seq: i + 100, marks: [], device: other, n: i + 1 };
  });
  await device.db.write(['entries'], async (tx) => {
    for (const row of rows) tx.objectStore('entries').add(row);
  });
"""
FULL_STORAGE = """
  const add = IDBObjectStore.prototype.add;
  IDBObjectStore.prototype.add = function (...words) {
    if (this.name === 'entries') throw new DOMException('injected', 'QuotaExceededError');
    return add.apply(this, words);
  };
  window.mend = () => { IDBObjectStore.prototype.add = add; };
"""
TOO_SMALL = """() => {
  const pressed = ':is(button, a[href], summary, label.box, input[type=text])';
  return [...document.querySelectorAll(pressed)].filter((one) => one.checkVisibility()).filter((one) => {
    const { width, height } = one.getBoundingClientRect();
    return width < 56.9 || height < 56.9;
  }).map((one) => one.getAttribute('aria-label') || one.textContent.trim());
}"""
RUNS_OVER = (
    "() => { const main = document.querySelector('.frame > main'); return main.scrollWidth - main.clientWidth; }"
)


def go(page, hash_: str):
    """To another page as a link would: nothing is loaded anew. Returns when that page stands."""
    page.evaluate("(hash) => { location.hash = hash; }", hash_)
    at_rest(page)
    return page


def keys(page, text: str):
    tap_keys(page, [KEYS.get(sign, sign) for sign in text])


def says(page) -> str:
    at_rest(page)
    return re.sub(r"\s+", " ", page.locator(".frame").inner_text())
