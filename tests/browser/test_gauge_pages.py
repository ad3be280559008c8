"""A tank gauged by dip with instruments that are off, the network down: by touch at phone size, on a real book."""

import re

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
IN_MM = """
  const TN = (typed, unit) => ({ typed, unit });
  const row = (dip, volume) => ({ dip: TN(dip, 'mm'), volume: TN(volume, 'usgal') });
  await book.write('strapping', { vessel: 'T-1', rows: [row('0', '0'), row('500.0', '100.0')] });
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

    # A table that was said in millimetres and gallons stays so, whatever row of it is typed anew.
    run(page, IN_MM)
    glove.go("#/setup/strapping/T-1")
    glove.button("500.0 mm: 100.0 gal")
    assert page.get_by_role("button", name="Volume").inner_text().endswith("gal")
    glove.keys("501.0101.0")
    glove.button("Done")
    assert "501.0 mm: 101.0 gal" in glove.says()

    device.offline(False)
    until(page, "(await sync.syncNow(), book.saved.waiting === 0)")
    assert all(not one["marks"] for one in server.entries())  # the server worked out the same lines
    assert device.errors == []


FULL_TANK = """
  const TN = (typed, unit) => ({ typed, unit });
  await book.write('still', { tag: 'P-1', sort: 'pot', capacity_l: TN('900', 'L') });
  const gauge = { volume: TN('1500', 'L'), temperature: TN('14', 'C'), strength: TN('30', 'abv') };
  return (await book.write('opening', { vessel: 'T-1', holds: 'low wines', gauge })).lines[0].ethanol_mg;
"""


EMPTY = [None, None, None]
DUE = """
  const { withBook } = await import('/pages/entry-sums.js');
  return withBook('spirit_in', { vessel: 'T-1' }, book.state, Date.parse(given)).report_due;
"""


def test_portions_by_a_dip_of_what_is_left_a_meter_and_a_scale(phone, server):
    """Of 1500 L a fifth is spilt, by the rod; then it, 0.25 cm too high, reads 50: 30 + 11.7 x 49.75 L are left."""
    device = phone()
    page = device.open("#/reckon")
    glove = Glove(page)
    run(page, SETUP, {"vessels": [["T-1", "2000", "10", *EMPTY], ["T-2", "300", "5", *EMPTY]], "units": {}})
    run(page, TOOLS)
    whole_mg = run(page, FULL_TANK)
    device.ready()
    device.offline()

    glove.go("#/vessel/T-1/loss")
    glove.button("By what is left")
    glove.button("Level or net weight")
    glove.pick("How is it measured?", "By dip")
    glove.put(In_bulk="14.0", Dip="100.0")
    assert "100.00 cm is 1200.0 L" in glove.says()
    assert page.evaluate(TOO_SMALL) == [] and page.evaluate(RUNS_OVER) == 0
    glove.button("Cause")
    page.get_by_role("dialog").get_by_role("button", name="Spillage").tap()
    glove.write()
    until(page, "book.entries.some((entry) => entry.kind === 'loss')")
    loss = run(page, LAST, "loss")
    assert loss["said"]["by"] == "left" and loss["said"]["gauge"]["strapping"]["rows"] == [[0, 30], [100, 1200]]
    assert abs(loss["lines"][0]["ethanol_mg"] - whole_mg / 5) < 2

    glove.go("#/run/new")
    glove.button("I have read it")
    glove.button("What goes in?")
    page.get_by_role("dialog").get_by_role("button", name="T-1").tap()
    glove.button("An amount")
    glove.button("What is left")
    picked(glove, "DR-1")
    glove.put(In_bulk="14.0", Dip="50.0")
    assert "49.75 cm is 612.1 L" in glove.panel()
    glove.field("In bulk")
    assert "L goes in, " in glove.panel()
    assert page.evaluate(TOO_SMALL) == []
    glove.button("Into the still")
    glove.button("Add more")
    page.get_by_role("dialog").get_by_role("button", name="Water, softened").tap()
    glove.button("Volume or net weight")
    glove.pick("How is it measured?", "Gross and tare")
    glove.put(Gross="143.5", Tare="43.5")
    glove.button("Into the still")
    glove.button("Charge P-1")
    until(page, "book.entries.some((entry) => entry.kind === 'charge')")
    spirit, water = run(page, LAST, "charge")["lines"]
    assert abs(spirit["ethanol_mg"] - whole_mg * 4 / 5 * 587.925 / 1200) < 2
    # 100 kg on the scale: air of 1.2 and weights of 8000 kg/m3 on water of 998.2 (Kell 1975).
    assert abs(water["liquid_mg"] / 100e6 - (1 - 1.2 / 8000) / (1 - 1.2 / 998.2)) < 1e-6

    glove.go("#/reduce/T-1/added")
    glove.button("Volume or net weight")
    glove.pick("How is it measured?", "By meter")
    glove.put(Water_at="10.0", Before="1000.0", After="1119.1")
    glove.field("After")
    assert "119.1 L went through" in glove.says()
    glove.button("Write it in the book")
    until(page, "book.entries.some((entry) => entry.kind === 'water')")
    water = run(page, LAST, "water")
    assert water["said"]["water"]["meter"]["start"] == {"typed": "1000.0", "unit": "L"}
    assert abs(water["lines"][0]["liquid_mg"] - 119.1 * 0.99970e6) < 2e-5 * 119.1e6  # Kell (1975), tests/reference

    # The quick reckon reads with the same instruments, and says so: 1234.5 L are 753.1541 LPA, as above.
    glove.go("#/reckon/quantity")
    glove.put(Volume="1234.5")
    glove.field("In bulk")
    picked(glove, "TH-1")
    glove.keys("138")
    glove.field("On glass")
    picked(glove, "H-3")
    glove.keys("587")
    glove.field("In jar")
    picked(glove, "TH-1")
    glove.keys("138")
    assert "753.2 LPA" in glove.says() and "TH-1, corr +0.2" in glove.says()
    assert "58.7 % glass, H-3 −0.1\t58.6 % glass" in glove.how() and "753.15 LPA" in glove.how()

    # Five working days after Friday the 27th is the next Friday (Directive (EU) 2020/262 Art 24(1), from memory).
    assert run(page, DUE, "2026-11-27T10:00:00Z") == "2026-12-04"

    # A liqueur's residue: 0.4 to 0.6 proof hide behind each g/L (27 CFR 30.32(b); dissolved sugar does somewhat more).
    glove.go("#/vessel/T-2/opening")
    glove.button("There is sugar or extract in it")
    glove.put(Volume="100.0", In_bulk="20.0", On_glass="39.0", In_jar="20.0", Residue="10.0")
    assert "10.0 g/L of extract" in glove.says()
    hidden = float(re.search(r"hides ([\d.]+) %vol from the glass", glove.says()).group(1))
    assert 2.0 <= hidden <= 3.0
    glove.write(sure="TH-1")
    until(page, "book.entries.some((e) => e.kind === 'opening' && e.said.vessel === 'T-2')")
    assert run(page, LAST, "opening")["said"]["gauge"]["extract"] == {"typed": "10.0", "unit": "g_L"}
    # 100 L at 20.2 °C by TH-1: near 40 %vol spirit grows by 0.07 % per K (OIML R 22), and a residue counts at 20 °C.
    assert abs(run(page, LAST, "opening")["lines"][0]["extract_mg"] / 1e6 - (1 - 0.2 * 0.0007)) < 1e-5

    device.offline(False)
    until(page, "(await sync.syncNow(), book.saved.waiting === 0)")
    assert all(not one["marks"] for one in server.entries())
    assert device.errors == []
