"""Bad input on the floor: every numeric field refuses with the contract's sentence, and nothing is lost.

The sentences of the page are held to those of server/book/kinds.py for the same words; what is a number at all stands
in the contract (docstring of `number_of`): digits, one comma or point, a leading minus, twelve characters.
"""

import json
import re

import pytest
from asking import at_rest
from book_floor import FULL_STORAGE, HOUSE
from floor import run, until
from glove import Glove

from server.book.shapes import check_said

NO_NUMBERS = ["NaN", "Infinity", "1e999", "1e3", "0x10", "1,2,3", "1.2.3", "1 5", "--5", "5-", "١٢", "12 L", ""]
NO_NUMBERS += ["1" * 13]
# The newest entry of each kind, and the places of its typed numbers: {id, kind, said, paths}
NUMBERS = """
  const leaves = (value, path) => {
    if (typeof value !== 'object' || value === null) return [];
    if ('typed' in value && 'unit' in value) return [path];
    return Object.entries(value).flatMap(([name, inner]) => leaves(inner, [...path, name]));
  };
  const kinds = new Map();
  for (const { id, kind, said } of book.entries) {
    for (const path of leaves(said, [])) {
      const name = `${kind} ${path.filter((part) => !/^[0-9]+$/.test(part)).join('.')}`;
      if (!kinds.has(name)) kinds.set(name, { kind, said, path });
    }
  }
  return [...kinds].map(([name, found]) => ({ name, ...found }));
"""
# Tries to write entries, one after the other; tells what the page would say to each, and how many more there are
TRY = """
  const tried = async ({ kind, said, options }) => {
    const before = book.entries.length;
    try {
      await book.write(kind, said, options ?? {});
      return { say: null, more: book.entries.length - before };
    } catch (problem) {
      return { say: problem.say ?? String(problem), is: problem.constructor.name, more: book.entries.length - before };
    }
  };
  const told = [];
  for (const one of given) told.push(await tried(one));
  return told;
"""


def with_number(said: dict, path: list[str], typed, unit: str | None = None) -> dict:
    changed = json.loads(json.dumps(said))
    place = changed
    for name in path[:-1]:
        place = place[int(name) if isinstance(place, list) else name]
    place[path[-1]] = {"typed": typed, "unit": place[path[-1]]["unit"] if unit is None else unit}
    return changed


@pytest.fixture
def demo_page(season):
    """A page over the demo's book, which has every kind of entry. Nothing here changes it."""
    return season.page


def test_every_number_of_every_kind_refuses_what_is_none(demo_page):
    """Each numeric field that an entry can have, with each text that is no number: refused by both languages alike."""
    places = run(demo_page, NUMBERS)
    assert len(places) > 30
    tries = [(one, typed, with_number(one["said"], one["path"], typed)) for one in places for typed in NO_NUMBERS]
    found = []
    for (place, typed, said), told in zip(tries, try_all(demo_page, tries), strict=True):
        wanted = check_said(place["kind"], said)[0]["say"]
        if told["more"] or told["say"] != wanted:
            found.append((place["name"], typed, told, wanted))
    assert found == []


def test_every_number_refuses_a_unit_of_another_quantity(demo_page):
    """But for instruments: what is engraved on one may be in any unit. And minutes are not refused minutes."""
    tries = [
        (place, unit, with_number(place["said"], place["path"], "5", unit))
        for place in run(demo_page, NUMBERS)
        for unit in ("furlong", "", "min", "constructor")
        if place["kind"] != "instrument" and (unit != "min" or place["path"][-1] != "minutes")
    ]
    found = []
    for (place, unit, said), told in zip(tries, try_all(demo_page, tries), strict=True):
        problems = check_said(place["kind"], said)
        if told["more"] or not problems or told["say"] != problems[0]["say"]:
            found.append((place["name"], unit, told))
    assert found == []


def try_all(page, tries: list[tuple]) -> list[dict]:
    """What the page says to each, in one call: to call costs more than to refuse."""
    return run(page, TRY, [{"kind": place["kind"], "said": said} for place, _, said in tries])


def test_sentences_say_what_was_given_and_what_to_do(demo_page):
    gauge = {"volume": {"typed": "1,2,3", "unit": "L"}, "temperature": {"typed": "20", "unit": "C"}}
    gauge["strength"] = {"typed": "40", "unit": "abv"}
    said = {"vessel": "S-1", "holds": "hearts", "gauge": gauge}
    (told,) = run(demo_page, TRY, [{"kind": "opening", "said": said}])
    assert told["say"].startswith("“1,2,3” is not a number that can be read. Type digits")


def test_a_comma_is_a_decimal_sign(demo_page):
    """“1,5” is one and a half, in the parser and in the lines of an entry."""
    read = "const { numberOf } = await import('/reckon/units.js'); return given.map(numberOf);"
    told = run(demo_page, read, ["1,5", "1.5", "−0,5"])
    assert told == [1.5, 1.5, -0.5]
    lines = """
      const { linesOf } = await import('/book/lines.js');
      const water = (typed) => ({ vessel: 'S-4', source: 'softened', water: { weight: { typed, unit: 'kg' } } });
      return given.map((typed) => linesOf({ kind: 'water', v: 1, said: water(typed) })[0].liquid_mg);
    """
    comma, point, fifteen = run(demo_page, lines, ["1,5", "1.5", "15"])
    assert comma == point and abs(fifteen / comma - 10) < 1e-4


@pytest.mark.parametrize("happened", ["+275760-09-13T00:00:00.001Z", "yesterday", 1e99, "2026-13-01T00:00:00.000Z"])
def test_a_time_that_is_none_is_never_written(demo_page, happened):
    (told,) = run(demo_page, TRY, [{"kind": "person", "said": {"name": "X"}, "options": {"happened": happened}}])
    assert told["more"] == 0 and told["is"] == "NotSaved" and told["say"].strip().endswith(".")


def test_words_too_long_are_refused_by_their_length(demo_page):
    said = {"what": "handover", "to": "Oskar", "words": "x" * 5000}
    (told,) = run(demo_page, TRY, [{"kind": "event", "said": said}])
    assert told["more"] == 0 and told["say"] == check_said("event", said)[0]["say"]
    assert "words of 1 to" in told["say"]


# By hand: what the keypad and a real keyboard make of it


@pytest.fixture
def house(phone):
    """Ines' phone in a house with something in L-1 and a live run of which H-2 is open."""
    one = phone()
    page = one.open()
    run(page, HOUSE)
    run(page, FILLED)
    yield one
    assert one.errors == []


FILLED = """
  const TN = (typed, unit) => ({ typed, unit });
  const ago = (min) => ({ happened: new Date(Date.now() - min * 6e4).toISOString() });
  const gauge = { volume: TN('600', 'L'), temperature: TN('20', 'C'), strength: TN('27.5', 'abv') };
  await book.write('opening', { vessel: 'L-1', holds: 'low wines', gauge }, ago(60));
  const sums = ({ ethanol_mg, liquid_mg, extract_mg }) => ({ ethanol_mg, liquid_mg, extract_mg });
  const part = { volume: TN('300', 'L'), temperature: TN('20', 'C'), book: sums(book.state.places['vessel/L-1']) };
  const parts = [{ vessel: 'L-1', by: 'amount', gauge: part, book: part.book }];
  const said = { run: 'R-1', still: 'Column', sort: 'column', parts };
  const charge = await book.write('charge', said, { group: 'self', ...ago(50) });
  const inRun = (min) => ({ group: charge.id, ...ago(min) });
  const start = { still: 'Column', open_stops: [], passed: [], already_running: false, zone_read: true };
  await book.write('start', start, inRun(40));
  const before = { ethanol_mg: 0, liquid_mg: 0, extract_mg: 0 };
  const to = { receiver: 'H-2', fraction: 'hearts', before };
  await book.write('cut', { still: 'Column', from: null, to }, inRun(30));
"""
RUN = "return Object.keys(book.state.runs)[0]"
# address of a page with a keypad -> names of what its numbers are first
FORMS = {
    "opening": "#/vessel/S-1/opening",
    "gauge": "#/vessel/L-1/gauge",
    "transfer": "#/vessel/L-1/transfer/S-1",
    "loss": "#/vessel/L-1/loss",
    "sample": "#/vessel/L-1/sample",
    "reading": "#/run/RUN/reading",
    "cut": "#/run/RUN/cut/gauge",
    "stillage": "#/run/RUN/end/stillage",
    "drain": "#/run/RUN/drain/before",
    "reduce": "#/reduce/L-1/numbers",
    "water": "#/reduce/L-1/added",
    "read again": "#/reduce/L-1/reading",
    "reckon": "#/reckon/quantity",
    "strength": "#/reckon/strength",
    "blend": "#/reckon/blend",
}
# Each from an empty field once, since all fields are of one make; one after the other in every other field
KEYS = ["--3", "NaN", "1e999", "1,5,5", "9" * 15]
TYPED = re.compile(r"^[-−]?([0-9]+([.,][0-9]*)?|[.,][0-9]+)$")


def open_form(page, name: str) -> Glove:
    glove = Glove(page)
    glove.go(FORMS[name].replace("RUN", run(page, RUN)))
    if name == "transfer":
        page.get_by_role("group", name="How much").get_by_role("button").nth(1).tap()
    glove.turned()
    return glove


def test_no_key_makes_a_field_unreadable(house):
    """Letters, second commas, a minus where none is, and far too many digits: what stands in the field is a number."""
    page = house.page
    for name in FORMS:
        glove = open_form(page, name)
        fields = page.get_by_role("group", name="Fields").get_by_role("button")
        for at in range(max(1, fields.count())):
            if fields.count():
                fields.nth(min(at, fields.count() - 1)).tap()  # a density meter's field takes the jar's away
            for keys in KEYS if (name, at) == ("opening", 0) else ["".join(KEYS)]:
                for _ in value_shown(page):
                    page.keyboard.press("Backspace")
                page.keyboard.type(keys)
                text = value_shown(page)
                assert text == "" or TYPED.match(text), f"{name}, field {at}: {keys} became {text}"
                assert len(text) <= 12
        assert page.locator("main.trouble").count() == 0
        glove.go("#/now")


def value_shown(page) -> str:
    at_rest(page)
    return page.locator(".typed output .figure").first.inner_text().strip()


# Forms that die and come back, with what is to be typed into them and how it is written
WRITES = {
    "opening": ({"Volume": "250,0", "In_bulk": "15,0", "On_glass": "63,5", "In_jar": "20,0"}, "opening"),
    "gauge": ({"Volume": "299,0", "In_bulk": "15,0", "On_glass": "27,5", "In_jar": "20,0"}, "gauge"),
    "reading": ({"On_glass": "96,4", "In_jar": "20,0", "Receiver": "12,5"}, "reading"),
    "water": ({}, "water"),
    "sample": ({"Volume": "0,5", "In_bulk": "20,0"}, "sample"),
}


def test_a_full_storage_keeps_the_form_and_the_second_press_writes_it(house):
    for name in WRITES:
        fails_and_is_written(house.page, name)


def fails_and_is_written(page, name: str):
    glove = open_form(page, name)
    glove.page.get_by_role("group", name="Keypad").wait_for()
    typed, kind = WRITES[name]
    for label, text in typed.items():
        glove.put(**{label: text})
    if name == "water":
        glove.keys("10,5")
    if name == "opening":
        glove.button("What is it?")
        glove.pick("What is it?", "Spirit")
    page.evaluate(f"() => {{ {FULL_STORAGE} }}")
    glove.write()
    page.get_by_text("NOT SAVED", exact=False).first.wait_for()
    assert page.locator(".strip [data-state=failed]").count(), name  # the strip says it too
    for label, text in typed.items():
        glove.field(label.replace("_", " "))
        assert value_shown(page) == text.replace(",", "."), name
    count = "return book.entries.filter((e) => e.kind === given).length"
    before = run(page, count, kind)
    page.evaluate("() => window.mend()")
    glove.write()
    until(page, f"book.entries.filter((e) => e.kind === '{kind}').length === {before + 1}")


def test_a_time_still_to_come_is_refused_and_one_of_last_year_is_kept(house):
    page = house.page
    glove = open_form(page, "sample")
    page.locator(".head button[aria-haspopup=dialog]").tap()
    for digits, say in (("2577", "is no time of day"), ("2359", "still to come")):
        glove.keys(digits)
        is_last_minute = digits == "2359" and say not in glove.foot_of_panel()  # of a day
        if not is_last_minute:
            assert say in glove.foot_of_panel()
            glove.held("Type hour and minute")
        glove.keys("<" * 4)
    for _ in range(30):
        page.get_by_role("button", name="A day earlier").tap()
    glove.keys("0800")
    glove.button("Take 08:00")
    glove.put(Volume="0,5", In_bulk="20,0")
    glove.write()
    until(page, "book.entries.some((e) => e.kind === 'sample')")
    happened = run(page, "return Date.now() - Date.parse(book.entries.find((e) => e.kind === 'sample').happened)")
    assert 29 < happened / 864e5 < 31
