"""The steps around the still: yields, strapping tables, the house's own lists, late entries and strikes."""

import json

import pytest
from book.ledger_book import LEDGERS, entries_of, load

from server.book.checks import item_states, items_of
from server.book.fold import fold
from server.book.kinds import declarations
from server.book.lists import lists_at
from server.book.mash_view import chill, mash_view, volume_of
from server.book.mashes import extract_kg
from server.book.materials import STARCH_YIELD, SUGAR_YIELD, usual
from server.book.shapes import check_said
from server.book.strapping import volume_of_dip
from server.reckon import ReckonError

ROWS = [[0.0, 10.0], [50.0, 200.0], [100.0, 400.0]]

VOLUMES = """async ([rows, dips]) => {
  const { volumeOfDip } = await import('/book/strapping.js');
  return dips.map((cm) => { try { return volumeOfDip(rows, cm); } catch (error) { return error.message; } });
}"""

VIEWS = """async ([mashes, now]) => {
  const { mashView } = await import('/book/mashView.js');
  return mashes.map((mash) => mashView(mash, now));
}"""

STATES_OF = """async ([ticks, lists]) => {
  const { itemStates } = await import('/book/checks.js');
  return itemStates({ ticks }, 'column_run', 0, null, lists);
}"""


def test_yields_are_those_of_the_handbook():
    # Starch 0.569 kg ethanol per kg: a bioethanol handbook's chapter; sucrose 0.538: standard molar masses.
    assert pytest.approx(0.569, abs=0.001) == STARCH_YIELD
    assert pytest.approx(0.5383, abs=0.0001) == SUGAR_YIELD
    for sort in declarations()["words"]["materials"][:11]:
        assert sort in usual()["sorts"], sort


def big_mash(final: str, hours: int) -> dict:
    """10 000 L at 1.065, read once so many hours after the pitch."""
    yeast = {"temperature": {"typed": "27", "unit": "C"}, "materials": []}
    pitch = {
        "vessel": "F-1",
        "gravity": {"typed": "1.065", "unit": "sg"},
        "volume": {"typed": "100", "unit": "hL"},
        **yeast,
    }
    read = {"vessel": "F-1", "gravity": {"typed": final, "unit": "sg"}}
    rows = [{"id": "1", "kind": "mash", "group": "self", "said": {"name": "M-1", "vessel": "F-1", "materials": []}}]
    rows += [{"id": "2", "kind": "pitch", "at": 60, "said": pitch}]
    rows += [{"id": "3", "kind": "ferment_reading", "at": 60 + hours * 60, "said": read}]
    (mash,) = fold(entries_of({"entries": rows}))["mashes"].values()
    return mash


def test_the_heat_of_a_ferment_is_that_of_the_reference(page_at_origin):
    # Fermented extract (OE-RE)/OE x mass x 560 kJ/kg: 801 MJ, within 10, for 10 000 L from 1.065 to 0.998
    # (the reference's own evaluation of its formula); 0.9565 kg of carbon dioxide for each 2.0665 kg of extract.
    mash = big_mash("0.998", 72)
    now = mash["ferment"][-1]["at"]
    seen = mash_view(mash, now)
    assert seen["heat_kj"] / 1000 == pytest.approx(801, abs=10)
    assert seen["co2_kg"] == pytest.approx(seen["fermented_kg"] * 0.4629, rel=1e-3)
    assert seen["hours"] == 72 and seen["attenuation"] > 1
    # 8 degrees Plato in a day for 10 000 L of 1.065, here 15.88 to 7.88 P (1.0314): 4.52 kW, within 0.3 there.
    quick = big_mash("1.0314", 24)
    assert mash_view(quick, now)["heat_kw"] == pytest.approx(4.52, abs=0.03)
    assert mash_view(quick, now)["earliest_end_at"] > quick["ferment"][-1]["at"]
    there = page_at_origin.evaluate(VIEWS, [[mash, quick], now])
    for one, other in zip(there, [seen, mash_view(quick, now)], strict=True):
        assert one.pop("cooling") is None and other.pop("cooling") is None  # nobody read the mash before it was cooled
        assert one == pytest.approx(other, rel=1e-12)


def test_a_dip_is_looked_up_in_proportion_and_never_beyond(page_at_origin):
    # Between 0 and 50 cm 3.8 L for each cm by hand; 25 cm is 10 + 95.
    dips = [0.0, 25.0, 50.0, 75.0, 100.0, 100.1]
    assert [volume_of_dip(ROWS, cm) for cm in dips[:5]] == [10.0, 105.0, 200.0, 300.0, 400.0]
    with pytest.raises(ReckonError) as refused:
        volume_of_dip(ROWS, 100.1)
    with pytest.raises(ReckonError):
        volume_of_dip([], 1.0)
    there = page_at_origin.evaluate(VOLUMES, [ROWS, dips])
    assert there == [10, 105, 200, 300, 400, refused.value.say]


def test_a_house_writes_its_own_list(page_at_origin):
    lists = {"column_run": {"v": 7, "items": [{"id": "bell", "text": "Bell rung", "stop": True}]}}
    items = items_of("column_run", lists)
    assert items[-1] == {"id": "bell", "text": "Bell rung", "stop": True, "list": "column_run", "list_v": 7}
    assert items[:-1] == items_of("hot_run")  # the list that it includes stays as printed
    ticks = {"column_run": {"bell": {"at": 0, "state": "ticked"}}}
    here = item_states({"ticks": ticks}, "column_run", 0, None, lists)
    assert here[-1]["state"] == "ticked" and page_at_origin.evaluate(STATES_OF, [ticks, lists]) == here


def test_what_was_ticked_keeps_its_words_and_other_words_want_a_tick_of_their_own(page_at_origin):
    state = fold(entries_of(load(next(path for path in LEDGERS if path.stem == "40_own_lists"))))
    session = next(iter(state["sessions"].values()))
    later = state["checklists"]["mash_in"]["at"]
    assert session["ticks"]["mash_in"]["dust"]["words"].startswith("Mill: no dust cloud, magnets")
    # As the first phone's version 2 read, an item had other words; before it the printed list held.
    assert lists_at(state, later - 1)["mash_in"]["items"][0]["text"] == "Mill: no dust cloud, extraction on"
    assert "mash_in" not in lists_at(state, 0)
    lists = {"mash_in": {"v": 3, "items": [{"id": "dust", "text": "Extraction on", "stop": True}]}}
    item = {"list_v": 2, "words": "Mill: no dust cloud, magnets in, extraction on", "at": 0, "state": "ticked"}
    ticks = {"mash_in": {"dust": item}}
    (here,) = item_states({"ticks": ticks}, "mash_in", 0, None, lists)
    assert (here["state"], here["lapse"]) == ("lapsed", "words")
    assert page_at_origin.evaluate(STATES_OF.replace("column_run", "mash_in"), [ticks, lists]) == [here]
    lists["mash_in"]["items"][0]["text"] = item["words"]  # a version that keeps the words keeps the tick
    assert item_states({"ticks": ticks}, "mash_in", 0, None, lists)[0]["state"] == "ticked"


def test_cooling_takes_as_much_heat_on_either_side():
    # 1000 L of 1.060 (1058 kg) from 65 to 28 °C at 4.0 kJ/(kg K), and water from 12 to 42 °C at 4.18, by hand:
    # 1058.1 x 4.0 x 37 = 156.6 MJ, over 4.18 x 30 = 1249 kg of water; in an hour 43.5 kW.
    seen = chill(1000 * 1.060 * 0.99823, 37.0, 12.0, 42.0, 60.0)
    assert seen["heat_kj"] / 1000 == pytest.approx(156.6, abs=0.1)
    assert seen["water_kg"] == pytest.approx(1249, abs=1)
    assert seen["duty_kw"] == pytest.approx(43.5, abs=0.05)
    assert chill(100.0, -1.0, None, None, None) is None
    assert chill(100.0, 1.0, 20.0, 10.0, None)["water_kg"] is None
    mash = big_mash("1.0314", 24)
    view = mash_view(mash, 0)
    # 0.0336 in a day leaves 0.0314 to 1.000 at that pace: 0.93 days; slowing to 0.998, ln(0.0334/0.001) x 0.994 days.
    day = 86_400_000
    assert (view["earliest_end_at"] - mash["ferment"][-1]["at"]) / day == pytest.approx(0.93, abs=0.01)
    assert (view["latest_end_at"] - mash["ferment"][-1]["at"]) / day == pytest.approx(3.49, abs=0.01)


def test_what_is_cooled_and_ferments_is_counted_in_cold_litres(page_at_origin):
    """Water has 996.51 kg/m3 at 27 °C and 998.20 at 20 °C (handbooks): 100 hL read at pitching are 99.83 hL."""
    mash = big_mash("1.0314", 24)
    assert volume_of(mash) == pytest.approx(10000 * 996.51 / 998.20, abs=0.2)
    mash["pitch"]["cooled_from_c"] = 65.0
    heat_kj = 10000 * 996.51 / 998.20 * 1.065 * 0.99823 * 4.0 * (65 - 27)
    assert mash_view(mash, 0)["cooling"]["heat_kj"] == pytest.approx(heat_kj, rel=1e-4)
    there = page_at_origin.evaluate("async (mash) => (await import('/book/mashView.js')).volumeOf(mash)", mash)
    assert there == volume_of(mash)


def test_every_kind_says_where_in_the_week_it_belongs():
    stages = declarations()["words"]["stages"]
    kinds = declarations()["kinds"]
    assert all(declared["stage"] in stages for declared in kinds.values())
    assert {declared["stage"] for declared in kinds.values()} == set(stages)


@pytest.mark.parametrize("path", LEDGERS[17:], ids=lambda path: path.stem)
def test_the_order_of_arrival_does_not_matter_to_the_steps(path):
    entries = entries_of(load(path))
    assert json.loads(json.dumps(fold(entries[::-1]))) == json.loads(json.dumps(fold(entries)))


@pytest.mark.parametrize("path", LEDGERS[17:], ids=lambda path: path.stem)
def test_a_strike_of_each_step_gives_back_what_was_before(path):
    """Struck, an entry counts for nothing: not in the places, not in lots, mashes, bottles, states."""
    entries = entries_of(load(path))
    for struck in entries:
        strike = {"id": "zz", "n": 999, "kind": "strike", "v": 1, "said": {}, "lines": [], "device": "Z.00000000"}
        strike |= {"strikes": {"id": struck["id"], "reason": "slip"}, "happened": struck["happened"], "clock": 0}
        with_strike = seen(fold([*entries, strike]))
        assert with_strike == seen(fold([one for one in entries if one["id"] != struck["id"]])), struck["id"]


def seen(state: dict) -> dict:
    keys = ("lots", "mashes", "stock", "labs", "states", "accounts", "received", "filters", "instruments", "checklists")
    places = {place: {**sums, "last": 0} for place, sums in state["places"].items()}
    return json.loads(json.dumps({"places": places, **{key: state[key] for key in keys}}))


@pytest.mark.parametrize(
    "said",
    [
        {"lot": "R 1", "sort": "rye", "supplier": "Mill", "mass": {"typed": "1", "unit": "kg"}},
        {"lot": "R-1", "sort": "bottle", "supplier": "Mill", "count": 1.5},
        {"lot": "R-1", "sort": "bottle", "supplier": "Mill"},
        {"lot": "R-1", "sort": "rye", "supplier": "Mill", "mass": {"typed": "1", "unit": "t"}},
        {"lot": "R-1", "sort": "rye", "supplier": "Mill", "mass": {"typed": "1", "unit": "kg"}, "refused": True},
    ],
)
def test_a_lot_that_says_too_little_is_asked_again(said):
    assert len(check_said("lot", said)) == 1


def test_extract_of_a_hot_mash_is_that_of_its_cold_litres():
    """10 000 L of wort of 1.065 hold 1691 kg (the reference's own row, within 3); water at 65 °C has 980.6 kg/m3 and at
    20 °C 998.2 (steam tables, from memory): read hot, as many litres hold 1.8 % less."""
    cold, hot = extract_kg(1.065, 10000.0, 20.0), extract_kg(1.065, 10000.0, 65.0)
    assert abs(cold - 1691) <= 3 and extract_kg(1.065, 10000.0, None) == cold
    assert hot / cold == pytest.approx(980.6 / 998.2, abs=2e-4)
    assert extract_kg(1.065, 10000.0, 108.0) == extract_kg(1.065, 10000.0, 100.0)  # a pressure cook: no table beyond
