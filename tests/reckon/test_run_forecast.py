"""The forecast beside a run: its ranges hold the reference's own figures, from batch_runs and energy."""

import pytest

ASK = """async ([run, still]) => {
  const { forecast, startForecast } = await import('/pages/run-forecast-data.js');
  const state = { stills: { 'S-1': still } };
  const steps = forecast(run, state, {});
  let step = steps.next();
  let rests = 0;
  for (; !step.done; step = steps.next()) rests += 1;
  return { rests, ...step.value, start: startForecast(run, state) };
}"""
NOTHING = {"ethanol_mg": 0, "liquid_mg": 0, "extract_mg": 0}
READ = ("kettle_c", "air_pressure_kpa", "abv_pct", "flow_l_h", "condenser_out_c", "level_l")


def reading(at: int = 0, off_mg: int = 0, **values) -> dict:
    return {"at": at, "off_mg": off_mg, **dict.fromkeys(READ), **values}


def run_of(sort: str, sums: dict, readings: list) -> dict:
    return {"still": "S-1", "sort": sort, "charge": sums, "left": sums, "fills": [], "readings": readings}


# 1000 L at 8 %vol, 20 °C: 80 LPA = 63.14 kg of ethanol (0.78924 kg/L) in 987.3 kg (0.98730 kg/L, OIML R 22 tables)
WASH = {"ethanol_mg": 63_139_000, "liquid_mg": 987_300_000, "extract_mg": 0}


def test_a_strip_is_expected_as_the_library_has_it(page_at_origin):
    read = [reading(kettle_c=93.7, air_pressure_kpa=101.325)]
    known = page_at_origin.evaluate(ASK, [run_of("strip", WASH, read), {"plates": 0, "said": {}}])
    # run_start_abv 0.4996 (thermo's NRTL, scipy); the kettle's 93.7 °C is that of the heat-up check
    low, high = known["now"]
    assert low < 49.96 < high and high - low < 6
    # 77.07 LPA come off until the run-off reads 5 %vol: down to 3 and 1 %vol it is more, and never all of the 80
    low, high = known["after_lpa"]
    assert 77.07 * 0.94 < low < high <= 80.01
    assert known["rests"] == 2, "both ends of the strip, with a rest between"


def test_heat_and_cooling_water_are_those_of_the_reference(page_at_origin):
    still = {"plates": 0, "said": {"heat_kw": 60}}
    known = page_at_origin.evaluate(ASK, [run_of("strip", WASH, []), still])["start"]
    assert known["boils_c"] == pytest.approx(93.7, abs=0.1)
    assert known["kwh"] == pytest.approx(308220 / 3600, rel=0.02)  # heat_up_kJ, CoolProp's heat of the mixture
    assert known["minutes"] == pytest.approx([known["kwh"], known["kwh"] / 0.75], rel=1e-9)
    assert known["cooling"]["water_kg_h"] == pytest.approx([3600 * 60 / 4.18 / 52, 3600 * 60 / 4.18 / 22], rel=1e-9)
    still = {"plates": 14, "said": {"reflux": 4, "heat_kw": 60}}
    flows = [reading(flow_l_h=20, abv_pct=95)]
    known = page_at_origin.evaluate(ASK, [run_of("column", WASH, flows), still])["start"]
    # cooling_water_kg_h 620 for 20 L/h at 95 %vol, R = 4, by 30 K; here by 52 K (8 to 60) down to 22 K (18 to 40)
    assert known["cooling"]["water_kg_h"] == pytest.approx([620 * 30 / 52, 620 * 30 / 22], rel=0.025)


def test_a_column_is_fitted_to_its_readings(page_at_origin):
    # 400 L of 27.5 %vol: 110 LPA = 86.82 kg in 385.6 kg (0.9640 kg/L)
    sums = {"ethanol_mg": 86_820_000, "liquid_mg": 385_600_000, "extract_mg": 0}
    fill = {"fraction": "hearts", "opened_at": 0, "closed_at": None, "sums": None, "provisional": 0}
    read = [reading(0, 0, abv_pct=94.4, kettle_c=85.6), reading(3600000, 7_892_400, abv_pct=94.4, kettle_c=85.6)]
    run = {**run_of("column", sums, read), "fills": [fill]}
    known = page_at_origin.evaluate(ASK, [run, {"plates": 14, "said": {}}])
    assert 0 < known["fits"] < known["tried"] == 4
    assert known["rate"] == pytest.approx(10, rel=1e-4)  # 10 LPA in an hour
    low, high = known["after_lpa"]
    assert known["after_h"] == pytest.approx([low / known["rate"], high / known["rate"]], rel=1e-9)
    assert 0 < low < high < 110
