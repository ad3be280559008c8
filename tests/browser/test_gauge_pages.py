"""A tank gauged by dip with instruments that are off, the network down: by touch at phone size, on a real book."""

from book_floor import RUNS_OVER, TOO_SMALL
from floor import run, until
from glove import SETUP, Glove

TOOLS = """
  const TN = (typed, unit) => ({ typed, unit });
  const ids = {};
  const tool = async (said) => { ids[said.tag] = (await book.write('instrument', said)).id; };
  const point = (reading, add) => ({ reading: TN(reading, 'glass'), correction: TN(add, 'glass') });
  const points = [point('78.7', '0.1'), point('38.7', '-0.3')];
  const glass = { tag: 'H-3', sort: 'hydrometer', unit: 'glass', points };
  await tool({ ...glass, plus_minus: TN('0.1', 'glass'), due: '2099-01-01' });
  const thermometer = { tag: 'TH-1', sort: 'thermometer', unit: 'C', due: '2025-01-01' };
  await tool({ ...thermometer, correction: TN('0.2', 'C'), plus_minus: TN('0.1', 'C') });
  await tool({ tag: 'DR-1', sort: 'dip', unit: 'cm', correction: TN('-0.25', 'cm'), plus_minus: TN('0.3', 'cm') });
  const table = [['0', '30'], ['100', '1200'], ['150', '1500']];
  const rows = table.map(([dip, litres]) => ({ dip: TN(dip, 'cm'), volume: TN(litres, 'L') }));
  ids.table = (await book.write('strapping', { vessel: 'T-1', rows })).id;
  return ids;
"""
LAST = "return book.entries.findLast((entry) => entry.kind === given)"


def picked(glove, tag: str) -> None:
    """The instrument of the field that is typed into, by its key under the number."""
    glove.button("Read with?")
    glove.pick("Read with?", tag)


def test_a_dip_read_with_instruments_that_are_off(phone, server):
    """105.75 cm are 1234.5 L; at 14.0 °C a glass of 58.6 makes 753.1541 LPA: worked numbers of the references."""
    device = phone()
    page = device.open("#/reckon")
    glove = Glove(page)
    run(page, SETUP, {"vessels": [["T-1", "2000", "10", None, None, None]], "units": {}})
    ids = run(page, TOOLS)
    device.ready()
    device.offline()

    glove.go("#/vessel/T-1/opening")
    glove.button("Level or net weight")
    glove.pick("How is it measured?", "By dip")
    glove.field("Dip")
    picked(glove, "DR-1")
    glove.keys("1060")  # the table ends at 150 cm, so the comma comes by itself
    assert "105.75 cm is 1234.5 L" in glove.says()
    picked(glove, "TH-1")
    assert "overdue" in glove.says()
    assert page.evaluate(TOO_SMALL) == [] and page.evaluate(RUNS_OVER) == 0
    glove.keys("138")
    picked(glove, "H-3")
    glove.keys("587")
    picked(glove, "TH-1")
    glove.keys("138")
    said = glove.says()
    # 0.3 cm of 6 L/cm in 1234.5 L, 0.1 %vol and 0.1 K x 0.35 of the glass: 1.10 and 1.31 LPA, together 1.7.
    assert "753.2 LPA ±1.7" in said and "60.7 %vol ±0.1 true" in said
    how = glove.how()
    assert "Dip: 106.0 cm, DR-1 −0.25\t105.75 cm" in how and "Strength: 58.7 % glass, H-3 −0.1\t58.6 % glass" in how
    assert "Between 100.0 cm, 1200.0 L, and 150.0 cm, 1500.0 L\t1234.5 L" in how and "stainless" in how
    glove.write(sure="TH-1 was to be checked by 2025-01-01")
    until(page, "book.entries.some((entry) => entry.kind === 'opening')")
    entry = run(page, LAST, "opening")
    gauge = entry["said"]["gauge"]
    dip = {"typed": "106.0", "unit": "cm", "instrument": "DR-1", "correction": "-0.25", "plus_minus": "0.3"}
    assert gauge["dip"] == dip and gauge["strapping"] == {"id": ids["table"], "rows": [[100, 1200], [150, 1500]]}
    assert gauge["strength"]["correction"] == "-0.1" and gauge["temperature"]["correction"] == "0.2"
    assert sorted(entry["uses"]) == sorted([ids[name] for name in ("DR-1", "H-3", "TH-1", "table")])
    assert abs(entry["lines"][0]["ethanol_mg"] - 753.1541 * 0.7892391e6) < 100

    # The instruments are known from now on: nothing is asked but the numbers. Outside of the table it says so.
    glove.go("#/vessel/T-1/gauge")
    glove.keys("1500")
    assert "DR-1" not in glove.foot() and "149.75 cm is" in glove.says()
    glove.field("Dip")
    glove.keys("0.1")
    assert "The strapping table goes from 0.0 to 150.0 cm" in glove.says()
    glove.go("#/setup/instrument/H-3")
    assert "78.7 % glass: 0.1 % glass" in glove.says()
    page.get_by_role("button", name="Take row 1 out").tap()
    glove.button("Write it in the book")
    until(page, "book.entries.filter((entry) => entry.said.tag === 'H-3').length === 2")
    edited = run(page, LAST, "instrument")
    assert edited["uses"] == [ids["H-3"]] and len(edited["said"]["points"]) == 1
    assert edited["said"]["plus_minus"] == {"typed": "0.1", "unit": "glass"}
    glove.go("#/setup/instrument")
    assert glove.says().index("TH-1") < glove.says().index("H-3") and "overdue since" in glove.says()

    # A dip typed wrong is looked up anew, with the rod's own correction; the table stays the one that was used.
    glove.go(f"#/entry/{entry['id']}/correct")
    page.get_by_role("group", name="Numbers").get_by_role("button", name="Dip").tap()
    glove.keys("96.0")
    glove.button("Write the correction")
    if page.get_by_role("alertdialog").count():
        glove.button("Yes, so it is")
    until(page, "book.entries.filter((entry) => entry.kind === 'opening').length === 2")
    mended = run(page, LAST, "opening")["said"]["gauge"]
    assert mended["strapping"] == {"id": ids["table"], "rows": [[0, 30], [100, 1200]]}
    assert mended["dip"] == {**dip, "typed": "96.0"}

    device.offline(False)
    until(page, "(await sync.syncNow(), book.saved.waiting === 0)")
    assert all(not one["marks"] for one in server.entries())  # the server worked out the same lines
    assert device.errors == []
