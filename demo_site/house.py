"""The invented house: site, people, vessels and stills, as set-up entries say them."""

from demo_site.pen import number

SITE = {
    "name": "Emmerfold Still House (demo)",
    "zone": "Europe/Vienna",
    "day_start": "06:00",
    "shifts": ["06:00", "14:00", "22:00"],
    "market": "EU",
    "units": {"volume": "L", "mass": "kg", "temperature": "C", "strength": "abv", "alcohol": "LPA"},
    "remote_stop": "red mushroom by the yard door",
    "way_out": "yard door",
    "muster_point": "the gate, under the lime tree",
    "emergency_number": "112",
    "plant_number": "EX-0417",
    "address": "Emmerfold, Mill Lane 4",
    "phone_zone": "Behind the yellow line: office, tank room, desk by the panel. Never at the parrot.",
    "late_min": 60,
    "charge_limit_abv": 40,
    "reading_min": 20,
}

# Name, and which of the house's three devices they write on: the office, the still house, the cellar.
PEOPLE = {"Ines": 0, "Oskar": 1, "Jonas": 1, "Maren": 2}

# What they sign with. Of a book that is thrown away, so they may be told to everybody: README.md does.
PINS = {"Ines": "2605", "Oskar": "7314", "Jonas": "9052", "Maren": "6137"}

# tag, sort, capacity in litres, litres to keep free, account
VESSELS = [
    ("MT-1", "tank", 1500, 250, "production"),
    ("F-1", "fermenter", 1300, 200, "production"),
    ("F-2", "fermenter", 1300, 200, "production"),
    ("F-3", "fermenter", 1300, 200, "production"),
    ("F-4", "fermenter", 1300, 200, "production"),
    ("L-1", "tank", 1500, 20, "production"),
    ("D-1", "receiver", 10, 0.5, "waste"),
    ("A-1", "receiver", 25, 1, "production"),
    ("H-1", "receiver", 180, 3, "production"),
    ("H-2", "receiver", 180, 3, "production"),
    ("T-1", "receiver", 60, 2, "production"),
    ("P-1", "feints", 200, 5, "production"),
    ("P-2", "feints", 200, 5, "production"),
    ("P-3", "feints", 200, 5, "production"),
    ("W-1", "waste", 60, 2, "waste"),
    ("W-2", "waste", 60, 2, "waste"),
    ("S-1", "tank", 500, 10, "storage"),
    ("S-2", "tank", 500, 10, "storage"),
    ("S-5", "tank", 700, 12, "storage"),
    ("S-3", "reduction", 1000, 15, "processing"),
    ("S-4", "reduction", 1000, 15, "processing"),
    ("S-6", "reduction", 700, 12, "processing"),
    ("S-7", "tank", 1000, 15, "processing"),
    ("B-1", "tank", 1000, 15, "processing"),
    ("B-2", "tank", 700, 12, "processing"),
]

# tag, sort, capacity in litres, plates, dephlegmator
STILLS = [("Pot", "pot", 1300, 0, False), ("Column", "column", 1000, 24, True)]


def set_up(pen) -> None:
    """Write the house into the book: site, people, vessels, stills."""
    pen.write("site", SITE)
    for name in PEOPLE:
        pen.later(1).write("person", {"name": name})
    for tag, sort, capacity, room, account in VESSELS:
        amounts = {"capacity_l": number(capacity, "L", 0), "room_l": number(room, "L")}
        pen.later(1).write("vessel", {"tag": tag, "sort": sort, **amounts, "account": account})
    for tag, sort, capacity, plates, dephlegmator in STILLS:
        said = {"tag": tag, "sort": sort, "capacity_l": number(capacity, "L", 0), "plates": plates}
        pen.later(1).write("still", {**said, "dephlegmator": dephlegmator, "hidden": []})
