"""Asking both languages the same, bit for bit. Numbers travel as the hex of their eight bytes, so that 5.0 and 5,
1e21 and a negative zero compare as what they are."""

import json
import math
import struct
from typing import Any

from server.reckon import ReckonError, from_base, mixture, number_of, reckon, to_base, to_mg, view
from server.reckon.refusal import figure

SPECIAL = {"@nan": float("nan"), "@inf": float("inf"), "@-inf": float("-inf")}

CALLS = {
    "reckon": reckon,
    "mixture": mixture,
    "view": view,
    "to_mg": to_mg,
    "number_of": number_of,
    "to_base": to_base,
    "from_base": from_base,
    "figure": figure,
}

IN_PAGE = """async (text) => {
  const paths = ['reckon', 'units', 'refusal'].map((name) => `/reckon/${name}.js`);
  const [core, units, refusals] = await Promise.all(paths.map((path) => import(path)));
  const calls = {
    reckon: core.reckon, mixture: core.mixture, view: core.view, to_mg: core.toMg,
    number_of: units.numberOf, to_base: units.toBase, from_base: units.fromBase,
    figure: refusals.figure,
  };
  const special = { '@nan': NaN, '@inf': Infinity, '@-inf': -Infinity };
  const revive = (key, value) => (Object.hasOwn(special, value) ? special[value] : value);
  const hex = (x) => {
    const bytes = new DataView(new ArrayBuffer(8));
    bytes.setFloat64(0, x);
    return '#' + bytes.getBigUint64(0).toString(16).padStart(16, '0');
  };
  const asked = JSON.parse(text, revive);
  return asked.map(([name, ...given]) => {
    let answer;
    try {
      answer = calls[name](...given);
    } catch (refusal) {
      if (!(refusal instanceof core.ReckonError)) throw refusal;
      answer = refusal.answer();
    }
    return JSON.stringify(answer, (key, value) => (typeof value === 'number' ? hex(value) : value));
  });
}"""


def in_page(page: Any, asked: list) -> list[Any]:
    """Answers of the page to calls [name, *given], numbers as hex."""
    return [json.loads(text) for text in page.evaluate(IN_PAGE, json.dumps(asked))]


def here(asked: list) -> list[Any]:
    """Answers of this language to the same calls, numbers as hex."""
    answers = []
    for name, *given in revived(asked):
        try:
            answers.append(with_hex(CALLS[name](*given)))
        except ReckonError as refusal:
            answers.append(refusal.answer())
    return answers


def revived(value: Any) -> Any:
    if isinstance(value, list):
        return [revived(one) for one in value]
    if isinstance(value, dict):
        return {key: revived(one) for key, one in value.items()}
    return SPECIAL.get(value, value) if isinstance(value, str) else value


def with_hex(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: with_hex(one) for key, one in value.items()}
    if isinstance(value, list):
        return [with_hex(one) for one in value]
    if isinstance(value, int | float) and not isinstance(value, bool):
        return "#" + struct.pack(">d", value).hex()
    return value


def near(mine: Any, other: Any, relative: float = 1e-9) -> bool:
    """Whether two answers with numbers as hex are of one shape and one wording, and their numbers that near."""
    if isinstance(mine, dict) and isinstance(other, dict):
        return list(mine) == list(other) and all(near(mine[key], other[key], relative) for key in mine)
    if isinstance(mine, list) and isinstance(other, list):
        return len(mine) == len(other) and all(map(near, mine, other))
    if mine == other:
        return True
    texts = isinstance(mine, str) and isinstance(other, str) and mine[:1] == other[:1] == "#"
    return texts and math.isclose(_number(mine), _number(other), rel_tol=relative, abs_tol=1e-12)


def _number(text: str) -> float:
    return struct.unpack(">d", bytes.fromhex(text[1:]))[0]
