"""The pages that write what happens at the spout: reading, slate, cut, drain, fillings, end, run sheet.

Trade rules: common practice, no source. Figures on the page are compared with arithmetic written out beside them.
"""

import re

import pytest
from asking import at_rest
from book_floor import go, keys
from floor import run, until
from glove import keep_offers, press

HOUSE = """
  const TN = (typed, unit) => ({ typed, unit });
  const t0 = Date.now() - given.hours * 36e5;
  const write = async (kind, said, more) => (await book.write(kind, said, { by: 'Ines', happened: t0, ...more })).id;
  const sums = (place) => {
    const { ethanol_mg = 0, liquid_mg = 0, extract_mg = 0 } = book.state.places[place] ?? {};
    return { ethanol_mg, liquid_mg, extract_mg };
  };
  await book.setPerson('Ines');
  await write('site', {
    name: 'Emmerfold', zone: 'Europe/Vienna', day_start: '06:00', shifts: [], market: 'EU',
    units: { volume: 'L', mass: 'kg', temperature: 'C', strength: 'abv', alcohol: 'LPA' }, reading_min: 20,
  });
  await write('person', { name: 'Ines' });
  const receivers = [['A-1', 'receiver', '25'], ['H-2', 'receiver', '120'], ['T-1', 'receiver', '60']];
  for (const [tag, sort, capacity] of [['L-1', 'tank', '800'], ['S-1', 'tank', '300'], ...receivers]) {
    await write('vessel', { tag, sort, capacity_l: TN(capacity, 'L'), account: 'production' });
  }
  const column = { tag: 'Column', sort: 'column', capacity_l: TN('700', 'L'), plates: 9, dephlegmator: true };
  await write('still', { ...column, hidden: ['flow'] });
  const low = { volume: TN('600', 'L'), temperature: TN('20', 'C'), strength: TN('28.4', 'abv') };
  await write('opening', { vessel: 'L-1', gauge: low, holds: 'low wines' }, { happened: t0 + 1e3 });
  const parts = [{ vessel: 'L-1', by: 'all', book: sums('vessel/L-1') }];
  const charge = { run: 'R-31', still: 'Column', sort: 'column', parts };
  const run = await write('charge', charge, { group: 'self', happened: t0 + 6e4 });
  const start = { still: 'Column', open_stops: [], passed: [], already_running: false, zone_read: true };
  await write('start', start, { group: run, happened: t0 + 12e4 });
  const to = { receiver: 'H-2', fraction: 'hearts', before: sums('vessel/H-2') };
  await write('cut', { still: 'Column', from: null, to, confirmed: 'H-2' }, { group: run, happened: t0 + 18e4 });
  for (let i = 1; i <= given.readings; i += 1) {
    const said = {
      still: 'Column', kettle: TN((88 + i / 2).toFixed(1), 'C'), head: TN('78.2', 'C'), strength: TN('96.8', 'glass'),
      strength_temperature: TN('22.9', 'C'), receiver: 'H-2', level: TN((i * 3.5).toFixed(1), 'L'), nose: ['clean'],
    };
    await write('reading', said, { group: run, happened: t0 + 18e4 + i * 20 * 6e4 });
  }
  return run;
"""
AMERICAN = """
  const { said } = book.entries.find((e) => e.kind === 'site');
  await book.write('site', { ...said, market: 'US' }, { by: 'Ines' });
"""
LIVE = """book.entries.filter((e) => e.kind === given && book.state.entries[e.id].live)"""


@pytest.fixture
def still(phone, request):
    """A phone with a run under way, hearts into H-2; `at(page)` opens a page of that run."""
    one = phone(**getattr(request, "param", {}))

    def begin(hours=3.0, readings=0):
        one.run_id = run(one.open(), HOUSE, {"hours": hours, "readings": readings})
        return one

    one.begin = begin
    one.at = lambda *parts: go(one.open(), "#/run/" + "/".join((one.run_id, *parts)))
    yield one
    assert one.errors == []


def live(page, kind: str) -> list[dict]:
    return run(page, f"return {LIVE}", kind)


def left(page, run_id: str) -> None:
    """Wait until the form was written and the run's own page stands."""
    page.wait_for_url(re.compile(f"{run_id}$"))


def test_a_reading_takes_at_most_twelve_taps_from_the_run_page(still):
    still.begin(readings=1)
    page = still.at()
    page.evaluate("window.taps = 0; addEventListener('pointerdown', () => { window.taps += 1; }, true)")
    page.get_by_role("link", name="Reading", exact=True).tap()
    keys(page, "968" + "229" + "656")
    # 65.6 L at 96.2 %vol are 63.1 L of alcohol; the jar's 2.9 K of warmth take away 0.3 %.
    page.locator(".result", has_text="96.2").locator("text=/^6[23]\\.\\d/").wait_for()
    press(page, "Write it in the book")
    left(page, still.run_id)
    assert page.evaluate("window.taps") <= 12
    said = live(page, "reading")[-1]["said"]
    assert said["strength"] == {"typed": "96.8", "unit": "glass"}
    assert said["strength_temperature"] == {"typed": "22.9", "unit": "C"}
    assert said["level"] == {"typed": "65.6", "unit": "L"} and said["receiver"] == "H-2"
    assert "kettle" not in said  # unread is left blank


@pytest.mark.parametrize("still", [{"lasting": True}], indirect=True, ids=[""])
def test_a_killed_browser_keeps_a_half_typed_reading_and_it_is_written_once(still, server):
    still.begin(readings=1)
    page = still.at("reading")
    keys(page, "968" + "22")
    assert still.kill() > 0
    page = still.at("reading")
    assert page.locator(".fields").inner_text().count("96.8") == 1
    page.locator(".fields button", has_text="In jar").tap()
    keys(page, "9")
    press(page, "Write it in the book")
    left(page, still.run_id)
    until(page, "book.saved.waiting === 0")
    written = [entry for entry in server.entries() if entry["kind"] == "reading"]
    assert [entry["said"]["strength_temperature"]["typed"] for entry in written] == ["22.9", "22.9"]
    assert all(entry["marks"] == [] for entry in server.entries())


def test_a_jump_in_strength_is_asked_once_and_never_blocks(still):
    still.begin(hours=0.4, readings=1)
    page = still.at("reading")
    keys(page, "840" + "229" + "100")
    press(page, "Write it in the book")
    page.get_by_role("alertdialog").get_by_text(re.compile("1[23]\\.\\d %vol less than")).wait_for()
    press(page, "Look again")
    press(page, "Write it in the book")
    left(page, still.run_id)
    assert live(page, "reading")[-1]["said"]["strength"]["typed"] == "84.0"


def test_a_slate_is_saved_as_readings_with_their_own_times_even_if_the_storage_fails_between_them(still):
    still.begin(readings=1)
    page = still.at("slate")
    keys(page, "967" + "230" + "200")
    press(page, "Add row")
    keys(page, "966" + "231" + "301")
    page.evaluate("""() => {
      const add = IDBObjectStore.prototype.add;
      let left = 1;
      IDBObjectStore.prototype.add = function (...words) {
        if (this.name === 'entries' && left-- < 1) throw new DOMException('injected', 'QuotaExceededError');
        return add.apply(this, words);
      };
    }""")
    press(page, "Write 2 readings")
    page.get_by_role("alert").get_by_text("NOT SAVED").wait_for()
    assert len(live(page, "reading")) == 2
    page.reload()
    press(page, "Write 2 readings")
    left(page, still.run_id)
    _, second, third = sorted(live(page, "reading"), key=lambda entry: entry["happened"])
    assert [entry["said"]["level"]["typed"] for entry in (second, third)] == ["20.0", "30.1"]
    gap = page.evaluate("([a, b]) => Date.parse(b) - Date.parse(a)", [second["happened"], third["happened"]])
    assert gap == 20 * 60_000


def test_a_cut_wants_the_right_tag_books_the_gauge_and_can_be_undone(still):
    still.begin(readings=4)
    page = still.at("cut")
    keep_offers(page)
    page.get_by_role("heading", name="Cut hearts to tails").wait_for()
    page.get_by_text("A cut does not prove the methanol limit; the laboratory does.").wait_for()
    page.get_by_role("link", name="Gauge it").tap()
    page.get_by_role("link", name="Back").tap()  # nothing was read: the cut is still now
    page.locator(".head", has_text="now").wait_for()
    page.get_by_role("link", name="Gauge it").tap()
    keys(page, "140" + "220" + "968" + "224")
    assert page.get_by_role("group", name="Fields").get_by_role("button").count() == 4  # all that was read is in sight
    result, keypad = [page.locator(name).bounding_box() for name in (".result", ".foot")]
    assert result["y"] + result["height"] <= keypad["y"]
    press(page, "Take it")
    page.locator(".conf .pick button", has_text="A-1").tap()
    at_rest(page)
    assert page.get_by_role("button", name="Cut to T-1").get_attribute("aria-disabled") == "true"
    page.locator(".conf .pick button", has_text="T-1").tap()
    press(page, "Cut to T-1")
    left(page, still.run_id)
    cut = live(page, "cut")[-1]
    assert cut["said"]["confirmed"] == "T-1" and cut["said"]["to"]["fraction"] == "tails"
    (line,) = cut["lines"]
    assert (line["from"], line["to"]) == ("still/Column", "vessel/H-2")
    # 14.0 L at 96.3 %vol: 13.48 L of alcohol at 0.789 kg/L are 10.6 kg
    assert line["ethanol_mg"] == pytest.approx(14.0 * 0.963 * 0.78924e6, rel=0.005)
    press(page, "Undo")
    until(page, "book.entries.filter((e) => e.strikes?.reason === 'slip').length === 1")
    assert len(live(page, "cut")) == 1


def test_a_filling_is_gauged_and_named_later_without_moving_liquid(still):
    still.begin(readings=4)
    page = still.at("cut")
    page.locator(".conf .pick button", has_text="T-1").tap()
    press(page, "Cut to T-1")
    left(page, still.run_id)
    page = still.at("fills")
    page.get_by_role("link", name="Gauge it").tap()
    keys(page, "140" + "220" + "968" + "224")
    press(page, "Write it in the book")
    page.wait_for_url(re.compile("fills$"))
    before = run(page, "return JSON.stringify(book.state.places)")
    page.get_by_role("link", name="Rename").first.tap()
    press(page, "Heads")
    page.wait_for_url(re.compile("fills$"))
    fill = run(page, "return book.state.runs[given].fills[0]", still.run_id)
    assert fill["fraction"] == "heads" and fill["sums"]["ethanol_mg"] > 10_000_000
    assert run(page, "return JSON.stringify(book.state.places)") == before


def test_a_drain_takes_the_receiver_to_a_tank_and_leaves_it_open(still):
    still.begin(readings=4)
    page = still.at("drain")
    page.get_by_role("link", name="Gauge it").tap()
    keys(page, "140" + "220" + "968" + "224")
    press(page, "Take it")
    page.get_by_role("link", name="Pick").tap()
    press(page, "S-1")
    press(page, "Drain to S-1")
    left(page, still.run_id)
    one = run(page, "return book.state.runs[given]", still.run_id)
    places = run(page, "return book.state.places")
    assert one["fills"][one["open"]]["receiver"] == "H-2" and len(one["fills"]) == 2
    assert places["vessel/H-2"]["ethanol_mg"] == 0
    assert places["vessel/S-1"]["ethanol_mg"] == one["off_mg"] > 0


def test_the_end_says_what_is_open_and_books_stillage_and_one_difference(still):
    still.begin(readings=4)
    page = still.at("end")
    page.get_by_text("H-2 is still open.").wait_for()
    press(page, "Gauged")
    keys(page, "5500" + "350" + "230" + "220")
    press(page, "Take it")
    page.locator(".equation").wait_for()
    charged, out = [float(cell) for cell in page.locator(".equation tfoot td").all_inner_texts()]
    assert charged == out == pytest.approx(170.4, abs=0.2)  # 600 L at 28.4 %vol and 20 °C
    press(page, "End the run")
    press(page, "Yes, so it is")
    left(page, still.run_id)
    (end,) = live(page, "end")
    assert [line["to"] for line in end["lines"]] == ["lost/stillage", "lost/unexplained"]
    left_over = run(page, "return book.state.places['still/Column']")
    assert left_over["ethanol_mg"] == left_over["liquid_mg"] == 0


def test_the_run_sheet_of_thirty_readings_is_one_page(still):
    still.begin(hours=12.0, readings=30)
    page = still.at("sheet")
    page.locator(".readings tbody tr").nth(29).wait_for()
    paper = page.pdf(prefer_css_page_size=True)
    boxes = re.findall(rb"/MediaBox \[([^\]]*)\]", paper)
    assert len(re.findall(rb"/Type\s*/Page\b(?!s)", paper)) == 1
    # ISO 216: A4 is 210 mm by 297 mm; a PDF counts in 1/72 inch
    width, height = [float(word) for word in boxes[0].split()[2:]]
    assert (width, height) == (pytest.approx(210 / 25.4 * 72, abs=1), pytest.approx(297 / 25.4 * 72, abs=1))
    assert b"/Font" in paper  # letters, not a picture of them
    run(page, AMERICAN)
    page.get_by_role("button", name="Print one Letter page").wait_for()
    paper = page.pdf(prefer_css_page_size=True)
    assert len(re.findall(rb"/Type\s*/Page\b(?!s)", paper)) == 1
    box = re.search(rb"/MediaBox \[([^\]]*)\]", paper).group(1)
    # ANSI/ASME Y14.1: letter size is 8.5 in by 11 in
    assert [float(word) for word in box.split()[2:]] == [pytest.approx(8.5 * 72, abs=1), pytest.approx(11 * 72, abs=1)]
