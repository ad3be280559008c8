"""What is odd in a mash. static/book/mashFindings.js is the twin.

Limits are the trade's, from memory: pitch at 25 to 30 °C, end of ferment not under pH 3.7, yield 82 to 92 % of the
theoretical in a well-run small house, so that under 70 something was lost; 0.5 % carbon dioxide in the room.
"""

from server.book.figures import alcohol_of, one_decimal, temperature_words
from server.book.findings import add
from server.reckon.refusal import figure
from server.reckon.units import from_base

PITCH_C = (25.0, 30.0)
LEAST_PH = 3.7
LEAST_YIELD = 0.7
MOST_CO2_PCT = 0.5
SICK = ("vinegar", "rotten egg", "mould")


def pitched(walk: dict, found: dict, record: dict) -> None:
    """Conversion first, then cooling; and the yeast's own window."""
    entry_id, name = record["entry"]["id"], found["name"]
    iodine = found["iodine"]
    if iodine and iodine["word"] == "blue":
        say = f"{name} was cooled and pitched while its iodine test was still blue: starch is left."
        say += reason_words(found)
        do = "Answer it: what was done about the starch (more enzyme, a longer rest, or a loss of yield accepted)."
        add(walk, f"iodine_blue/{found['id']}", "stop", say, do, [iodine["id"], entry_id])
    warm = found["pitch"]["temperature_c"]
    if not PITCH_C[0] <= warm <= PITCH_C[1]:
        way = "warmer" if warm > PITCH_C[1] else "cooler"
        window = " to ".join(figure(from_base(one, walk["units"]["temperature"])) for one in PITCH_C)
        say = f"{name} was pitched at {temperature_words(warm, walk['units'])}, {way} than yeast wants ({window})."
        do = "Watch the first gravities; cool it, or warm it, and pitch again if it does not start."
        add(walk, f"pitch_window/{entry_id}", "look", say, do, [entry_id])


def reason_words(found: dict) -> str:
    return f" Reason: {found['pitch']['unconverted']}." if found["pitch"]["unconverted"] else ""


def fermenting(walk: dict, found: dict, record: dict, reading: dict) -> None:
    entry_id, name = record["entry"]["id"], found["name"]
    if reading["ph"] is not None and reading["ph"] < LEAST_PH:
        say = f"pH in {name} has fallen under 3.7: acid bacteria are at work."
        add(walk, f"ph_low/{found['id']}", "look", say, "Distil it now or give it up; do not wait.", [entry_id])
    sick = [word for word in SICK if word in reading["smell"]]
    if sick:
        do = "Distil it now or give it up; clean what it touched."
        add(walk, f"smell/{found['id']}", "look", f"{name} smells of {sick[0]}.", do, [entry_id])
    if reading["co2_pct"] is not None and reading["co2_pct"] > MOST_CO2_PCT:
        say = f"Carbon dioxide in the room of {name} was {one_decimal(reading['co2_pct'])} %."
        do = "Go out, ventilate, measure again from the door; answer with what was done."
        add(walk, f"co2_room/{entry_id}", "stop", say, do, [entry_id])


def finished(walk: dict, found: dict) -> None:
    """The yield against what the materials promised, and a gravity that stands too high."""
    if found["wash"] and found["full_mg"] > 0:
        made = found["wash"]["ethanol_mg"]
        pct = one_decimal(made / found["full_mg"] * 100.0)
        ids, much = [found["id"], found["wash"]["id"]], alcohol_of(made, walk["units"])
        if made < LEAST_YIELD * found["full_mg"]:
            say = f"{found['name']} gave {much}, {pct} % of what its materials hold."
            do = "Look at the conversion, the volume and the gravities; or for something that was poured away."
            add(walk, f"yield_low/{found['id']}", "look", say, do, ids)
        elif made > found["full_mg"]:
            say = f"{found['name']} gave {much}, {pct} % of what its materials hold: more than can be."
            add(walk, f"yield_high/{found['id']}", "look", say, "A mass, a volume or a gravity is wrong.", ids)
    if found["pitch"] and found["starchy"] and found["pitch"]["iodine"] is None:
        say = f"{found['name']} was cooled and pitched without an iodine test.{reason_words(found)}"
        do = "Test a cooled drop of it still; watch where its gravity ends."
        add(walk, f"iodine_none/{found['id']}", "look", say, do, [found["pitch"]["id"]])
    open_still = not found["wash"] and not found["given_up"]
    if open_still and found["steady_at"] is not None and found["done_at"] is None and found["original_sg"] is not None:
        say = f"{found['name']} stands still, and less than half of its extract has fermented."
        do = "Warm it, rouse it, feed it, check its pH; or give it up."
        add(walk, f"stuck/{found['id']}", "look", say, do, [found["ferment"][-1]["id"]])
