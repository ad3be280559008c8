"""Writing an entry: its id, its keys, its lines."""

import json
import re
import uuid

import pytest

from server.book.compose import compose, iso_of, serial_of, uuid7
from server.reckon import ReckonError

NOW = 1_764_000_000_123
CONTEXT = {"now": NOW, "site": "s", "device": "K.3f9a1c2e", "n": 142, "by": "Ines", "clock": -3}
KEYS = ["id", "v", "kind", "site", "device", "n", "by", "happened", "offset_min", "written", "clock", "group", "said"]
KEYS += ["uses", "lines", "strikes", "tables"]
WATER = {"vessel": "T-1", "source": "mains", "water": {"weight": {"typed": "10", "unit": "kg"}}}
IN_BROWSER = """async ([said, now]) => {
  const { compose, uuid7, serialOf } = await import('/book/compose.js');
  const device = { site: 's', device: 'K.3f9a1c2e', n: 142, clock: -3, offsetMin: 60 };
  const context = { ...device, now, by: 'Ines', id: 'x', group: 'self' };
  let refused;
  try {
    compose('water', { ...said, water: {} }, context);
  } catch (error) {
    refused = { name: error.name, field: error.field };
  }
  return { text: JSON.stringify(compose('water', said, context)), id: uuid7(now), serial: serialOf(context), refused };
}"""


def test_id_is_a_version_7_uuid_of_its_millisecond():
    """Layout by RFC 9562: 48 bits of milliseconds, version 7, variant 10; read back by Python's own uuid."""
    made = uuid.UUID(uuid7(NOW))
    assert made.variant == uuid.RFC_4122 and made.version == 7
    assert made.int >> 80 == NOW
    assert uuid7(NOW) != uuid7(NOW)


def test_keys_stand_in_the_order_of_the_contract():
    entry = compose("water", WATER, CONTEXT)
    assert list(entry) == KEYS
    assert entry["written"] == entry["happened"] == "2025-11-24T16:00:00.123Z"
    assert serial_of(entry) == "K-142"


def test_an_opening_entry_is_its_own_group():
    entry = compose(
        "charge", {"run": "R-1", "still": "S-1", "sort": "strip", "parts": []}, {**CONTEXT, "group": "self"}
    )
    assert entry["group"] == entry["id"]


def test_what_cannot_be_worked_out_is_refused_with_a_sentence_for_the_form():
    with pytest.raises(ReckonError) as refused:
        compose("transfer", {"from": "T-1", "to": "T-2", "by": "amount"}, CONTEXT)
    assert refused.value.field == "gauge" and refused.value.say.endswith("fill it in.")


def test_times_have_three_decimals():
    assert re.fullmatch(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{3}Z", iso_of(0))


def test_the_browser_writes_the_same_entry(page_at_origin):
    told = page_at_origin.evaluate(IN_BROWSER, [WATER, NOW])

    here = compose("water", WATER, {**CONTEXT, "offset_min": 60, "id": "x", "group": "self"})
    assert told["text"] == json.dumps(here, separators=(",", ":"), ensure_ascii=False)
    assert uuid.UUID(told["id"]).version == 7 and uuid.UUID(told["id"]).int >> 80 == NOW
    assert told["serial"] == "K-142"
    assert told["refused"]["name"] == "ReckonError" and told["refused"]["field"] == "water"
