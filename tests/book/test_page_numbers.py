"""Figures that the pages work out for themselves: in the unit of the house, with sugar in the tank, on the papers."""

import pytest
from reference.rows import ask

US = {"volume": "usgal", "mass": "lb", "temperature": "F", "strength": "proof", "alcohol": "PG"}
HL = {"volume": "hL", "mass": "kg", "temperature": "C", "strength": "abv", "alcohol": "LPA"}
TEXTS = """async ([units, asked]) => {
  const { amount } = await import('/parts/format.js');
  return asked.map(([value, decimals]) => amount(value, 'volume', { units }, decimals).text.replaceAll('\\u00a0', ' '));
}"""
GLASS = """async (asked) => {
  const { glassReading } = await import('/pages/reduce-plan.js');
  return asked.map((one) => glassReading(...one));
}"""
MARK = "async (asked) => (await import('/pages/reduce-plan.js')).toMark(asked)"
STEPS = "async (asked) => (await import('/pages/reduce-plan.js')).waterSteps(...asked)"
COLUMNS = """async ([units, values]) => {
  const { columnsOf } = await import('/pages/run-sheetdata.js');
  const row = { values };
  const cells = columnsOf([row], { units }).map(({ word, unit, cell }) => `${word} ${cell(row)} ${unit}`);
  return cells.map((text) => text.replaceAll('\\u00a0', ' '));
}"""
FLASH = """async (asked) => {
  const { flashPoint } = await import('/parts/caution.js');
  const points = await (await fetch('/reckon/flash.json')).json();
  return asked.map((abv) => flashPoint(points, abv).flash_c);
}"""
FIELD = """async (units) => {
  const { padField } = await import('/pages/reckon-fields.js');
  const { press } = await import('/parts/typed.js');
  const field = padField('water', 'Water at', 'water_temperature', {}, { units });
  return [...'1505'].reduce((edit, key) => press(edit, key, field) ?? edit, { text: '' }).text;
}"""
HEADS = "async ([columns, units]) => (await import('/pages/records-data.js')).headsOf(columns, { units })"


def test_hectolitres_are_shown_as_fine_as_litres(page_at_origin):
    """1 hL is 100 L: 77.5 L of water are 0.775 hL, and 0.8 would be 3 % too much."""
    asked = [[77.49, 1], [412.3, None], [77.49, None], [1000, 0]]
    assert page_at_origin.evaluate(TEXTS, [HL, asked]) == ["0.775 hL", "4.12 hL", "0.775 hL", "10.00 hL"]
    assert page_at_origin.evaluate(TEXTS, [{**HL, "volume": "L"}, asked]) == ["77.5 L", "412 L", "77.5 L", "1 000 L"]


def test_sugar_in_the_tank_hides_strength_from_the_glass(page_at_origin):
    """27 CFR 30.32(b): 0.4 proof for each 100 mg of solids in 100 mL; dissolved sugar does up to half more."""
    clear, sweet, proof = page_at_origin.evaluate(
        GLASS, [[40, 20, "abv"], [40, 20, "abv", 5], [40.069, 140 / 9, "proof", 5]]
    )
    assert clear == pytest.approx(40, abs=1e-9)
    assert 38.5 <= sweet <= 39.0 and 77.0 <= proof <= 78.0


def test_a_plan_says_what_each_step_makes(page_at_origin):
    """150 g/L in 100 L of 40 % are 15 kg, wherever the water goes: 200 L of 20 % have 75 g/L of them."""
    liquid = {"volume_l": 100, "temperature_c": 20, "abv_pct": 40, "extract_g_l": 150}
    (step,) = page_at_origin.evaluate(STEPS, [liquid, [20], 20, 20])
    assert step["then"]["extract_g_l"] * step["answer"]["product_20c_l"] == pytest.approx(15000, rel=1e-9)
    assert step["answer"]["product_20c_l"] == pytest.approx(200, rel=1e-9)


SWEET = {"abv_pct": 60, "extract_g_l": 30}


@pytest.mark.parametrize(("extract", "spirit"), [(0, {"abv_pct": 96}), (100, {"abv_pct": 96}), (80, SWEET)])
@pytest.mark.parametrize("tank_c", [5, 20, 31])
def test_a_tank_filled_to_a_mark_holds_what_was_wanted(page_at_origin, extract, spirit, tank_c):
    """Masses, ethanol and extract add; the volume is that of the whole at the tank's temperature (procedure 4)."""
    here = {"volume_l": 120, "temperature_c": tank_c, "abv_pct": 30, "extract_g_l": extract}
    asked = {"already": here, "spirit": spirit, "litres": 500, "target": 37.5, "tankC": tank_c}
    need = page_at_origin.evaluate(MARK, asked)
    water = {"mass_kg": need["water_kg"], "abv_pct": 0}
    made = ask("blend", parts=[here, {"mass_kg": need["spirit_kg"], **spirit}, water])
    assert made["abv_pct"] == pytest.approx(37.5, abs=1e-6)
    share = made["extract_kg"] * 1000 / made["volume_20c_l"]
    dense = ask("density", abv_pct=made["abv_pct"], extract_g_l=share, temperature_c=tank_c)
    assert made["mass_kg"] * 1000 / dense["density_kg_m3"] == pytest.approx(500, abs=1e-5)


def test_a_run_sheet_shows_pressures_to_what_a_gauge_gives(page_at_origin):
    """101.325 kPa are 29.921 inHg at 0 °C and 14.696 psi (NIST SP 811); half a psi in a column is much."""
    read = {"air_pressure_kpa": 101.325, "column_pressure_kpa": 3.447, "strength": {"typed": "948,1", "unit": "kg_m3"}}
    assert page_at_origin.evaluate(COLUMNS, [US, read]) == [
        "Column 0.50 psi",
        "Air 29.92 inHg",
        "Glass 948,1 kg/m³ glass_proof",
    ]
    read["strength"] = {"typed": "96,3", "unit": "glass"}
    assert page_at_origin.evaluate(COLUMNS, [HL, read]) == ["Column 34 mbar", "Air 1 013 hPa", "Glass 96.3 glass"]


def test_a_us_gauge_record_counts_wine_gallons_at_60_f(page_at_origin):
    """27 CFR 19.618, 30.67: proof gallons are the wine gallons at 60 °F times the proof."""
    heads = ["True", "At 20 °C"]
    assert page_at_origin.evaluate(HEADS, [heads, US]) == ["True", "At 60 °F"]
    assert page_at_origin.evaluate(HEADS, [heads, HL]) == heads


def test_what_is_stronger_than_a_still_makes_it_lights_like_pure_ethanol(page_at_origin):
    """Flash points by the trade's table; pure ethanol 12 °C (hazardous-area table, read), not the 17 of 96 % vol."""
    assert page_at_origin.evaluate(FLASH, [39, 40.0, 41, 96.3, 99.8]) == [26, 26, 24, 17, 12]


def test_hot_water_is_typed_in_fahrenheit(page_at_origin):
    """Water stands from 32 to 212 °F: 150.5 °F is not 15.0; in °C 150 can only be 15.0."""
    assert page_at_origin.evaluate(FIELD, US) == "150.5"
    assert page_at_origin.evaluate(FIELD, HL) == "15.0"


SURE = """async (gauges) => {
  const [{ waterSure }, { gaugeSums }] = [await import('/book/plusMinus.js'), await import('/book/gauges.js')];
  return gauges.map(([gauge, answer]) => waterSure(gauge, gaugeSums(gauge), answer));
}"""


@pytest.mark.parametrize(("abv", "target", "warm"), [(70.0, 40.0, 20.0), (96.0, 37.5, 8.0), (45.0, 40.0, 25.0)])
def test_water_is_as_sure_as_what_it_rests_on(page_at_origin, abv, target, warm):
    """By differences: the water that reckon gives for 0.5 % and 0.3 K (a per mille each), and for 0.2 %vol more."""

    def water(litres: float, pct: float) -> dict:
        liquid = {"volume_l": litres, "temperature_c": warm, "abv_pct": pct}
        return ask("water", **liquid, to_abv_pct=target, water_temperature_c=15)

    here = water(1000, abv)
    by_amount = water(1000 * (1 + (0.005**2 + 0.0003**2) ** 0.5), abv)["water_kg"] - here["water_kg"]
    by_strength = water(1000, abv + 0.2)["water_kg"] - here["water_kg"]
    number = {"volume": {"typed": "1000", "unit": "L"}, "temperature": {"typed": str(warm), "unit": "C"}}
    (sure,) = page_at_origin.evaluate(SURE, [[{**number, "strength": {"typed": str(abv), "unit": "abv"}}, here]])
    assert sure == pytest.approx((by_amount**2 + by_strength**2) ** 0.5, rel=0.15)


READ = "async (gauges) => gauges.map((await import('/pages/records-gauges.js')).amountRead)"
OFF = """async (lines) => {
  const { gaugedOff, lineOff } = await import('/pages/records-span.js');
  return [lineOff({ lines }), gaugedOff({ lines })];
}"""


def test_a_gauge_record_says_the_amount_by_whichever_way_it_was_read(page_at_origin):
    """A gauge record holds gross and tare, or the volume, by which it was gauged (27 CFR 19.618, from memory)."""
    gallons, pounds = (lambda text: {"typed": text, "unit": "usgal"}), (lambda text: {"typed": text, "unit": "lb"})
    gauges = [
        {"meter": {"start": gallons("0"), "end": gallons("99")}},
        {"gross": pounds("900"), "tare": pounds("150")},
        {"ullage": {"typed": "12.5", "unit": "in"}},
        {"strength": {"typed": "80", "unit": "proof"}},
    ]
    told = [text.replace("\u00a0", " ") for text in page_at_origin.evaluate(READ, gauges)]
    assert told == ["meter 0 gal to 99 gal", "900 lb gross, 150 lb tare", "12.5 in ullage", ""]


def test_the_line_of_a_bottling_is_not_charged_with_what_the_gauge_before_found(page_at_origin):
    """A tank gauged 30 under the book, and 2 gone on the line, are 2 of the line: on the sheet as in the record."""
    lines = [
        {"from": "vessel/T-1", "to": "lost/gauging", "ethanol_mg": 30},
        {"from": "vessel/T-1", "to": "stock/L-1", "ethanol_mg": 100},
        {"from": "vessel/T-1", "to": "lost/bottling", "ethanol_mg": 2},
    ]
    assert page_at_origin.evaluate(OFF, lines) == [-2, -30]
    found = [{"from": "found/gauging", "to": "vessel/T-1", "ethanol_mg": 5}, *lines[1:]]
    assert page_at_origin.evaluate(OFF, found) == [-2, 5]


COUNTED = "async (asked) => (await import('/pages/run-data.js')).countedText(...asked)"


def test_a_house_reads_volumes_where_it_counts_them(page_at_origin):
    """A wine gallon is 231 cubic inches (NIST Handbook 44) at 60 °F (26 USC 5002(a)(10)): a hundred stay a hundred.

    Spirit near 40 %vol swells by 0.7 to 0.8 per mille a kelvin (own estimate of the trade sheet), so 4.44 K make 0.3 %.
    """
    made = ask("quantity", volume_l=378.5411784, temperature_c=140 / 9, proof=80)
    sums = {"ethanol_mg": made["ethanol_kg"] * 1e6, "liquid_mg": made["mass_kg"] * 1e6, "extract_mg": 0}
    text, cold = (
        page_at_origin.evaluate(COUNTED, [sums, {"units": units}, 1]).replace("\u00a0", " ") for units in (US, HL)
    )
    assert text == "100.0 gal at 60 °F"
    assert cold.endswith(" hL at 20 °C") and float(cold.split()[0]) == pytest.approx(3.78541 * 1.0033, abs=0.002)


HOUSE_WORDS = """async ([units, texts]) => {
  const { houseWords } = await import('/parts/housewords.js');
  return texts.map((text) => houseWords(text, { units }).replaceAll('\\u00a0', ' '));
}"""


def test_sentences_of_the_reckoning_speak_in_the_units_of_the_house(page_at_origin):
    """NIST SP 811: °F = 1.8 °C + 32; a US gallon 3.785 411 784 L, a pound 0.453 592 37 kg; proof is twice % vol."""
    texts = [
        "45 °C: the tables hold from −20 to 40 °C; 18.5 °C is read.",
        "40 %vol flashes near 26 °C.",
        "From 0 to 1000 L, or 2.0 kg.",
        "0.62 L/kg, 3.4 kg/L, L-1 and 5 g/L stay; so do 12 Liquids.",
        "Release and strength at 20 °C signed",
    ]
    told = page_at_origin.evaluate(HOUSE_WORDS, [US, texts])
    assert told[0] == "113 °F: the tables hold from −4 to 104 °F; 65.3 °F is read."
    assert told[1] == "80 proof flashes near 79 °F."
    assert told[2] == "From 0 to 264 gal, or 4.4 lb."
    assert told[3] == texts[3]
    assert told[4] == "Release and strength at 60 °F signed"  # what a proof stands for: 27 CFR 5.1
    assert page_at_origin.evaluate(HOUSE_WORDS, [{**HL, "volume": "L"}, texts]) == texts


BARE = """async ([units, asked]) => {
  const { bareText } = await import('/pages/setup-bare.js');
  return asked.map(([name, value]) => bareText(name, value, { units })?.replaceAll('\\u00a0', ' ') ?? null);
}"""


def test_limits_of_the_house_are_told_in_its_units(page_at_origin):
    """500 L/kg x 0.45359237 / 3.785411784 = 59.91 gal/lb; 1.5 bar / 0.06894757 = 21.76 psi (NIST SP 811)."""
    asked = [["carbon_l_kg", 500], ["sheets_bar", 1.5], ["holdup_l", 1], ["tails_abv", 40.0694], ["late_min", 60]]
    told = ["59.91 gal/lb", "21.76 psi", "0.26 gal", "80 proof", None]
    assert page_at_origin.evaluate(BARE, [US, asked]) == told
    metric = ["5 hL/kg", "1.5 bar", "0.01 hL", "40.07 %vol", None]
    assert page_at_origin.evaluate(BARE, [HL, asked]) == metric


GRIST = """async (moistures) => {
  const { gristOf } = await import('/pages/mash-heat.js');
  const told = moistures.map((moisture_pct) => gristOf([{ lot: { sort: 'rye', moisture_pct }, kg: 100 }]));
  return told.map(({ slaking_c, beyond_c }) => [slaking_c, beyond_c]);
}"""


def test_wetting_beyond_what_was_measured_is_a_range(page_at_origin):
    """3, 2.3, 1.5, 1 °C at 0, 2, 4, 8 % moisture (Brewing Room Book 1984/85); beyond that at most what 8 % gave."""
    told = page_at_origin.evaluate(GRIST, [0, 2, 3, 4, 8, 8.1, 13])
    assert told == [[3, 0], [2.3, 0], [pytest.approx(1.9), 0], [1.5, 0], [1, 0], [0, 1], [0, 1]]
