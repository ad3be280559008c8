"""Taking entries and giving them: verdicts, repeats, cursors, and what a device hears when the book is another."""

import json
import uuid
from concurrent.futures import ThreadPoolExecutor

import pytest

from server import store, sync
from server.book.compose import compose


def ids(answer, key="taken"):
    return [row["id"] for row in answer.json[key]]


def id_of(text):
    return json.loads(text)["id"]


def test_an_entry_is_taken_and_given_back_as_it_was_written(phone):
    text = phone.write(said={"name": "Åsa — 酒"})
    answer = phone.sync(text)
    assert answer.status == 200
    assert answer.json["taken"] == [{"id": id_of(text), "seq": 1}]
    assert answer.json["entries"] == [{"seq": 1, "text": text, "marks": []}]
    assert (answer.json["since"], answer.json["more"], answer.json["head"]["seq"]) == (1, False, 1)
    assert "part" not in answer.json and "have" not in answer.json


def test_a_repeat_is_taken_once_and_answered_alike(phone):
    text = phone.write()
    first, second = phone.sync(text), phone.sync(text, text)
    assert second.json["taken"] == [{"id": id_of(text), "seq": 1}] * 2
    assert second.json["head"] == first.json["head"]


def test_the_same_id_with_other_bytes_is_refused_and_the_first_stays(phone):
    first = phone.write()
    other = json.dumps(json.loads(first) | {"by": "Oskar"})
    respaced = json.dumps(json.loads(first), indent=1)
    phone.sync(first)
    answer = phone.sync(other, respaced)
    assert [row["why"] for row in answer.json["refused"]] == ["clash", "clash"]
    assert ids(answer, "refused") == [id_of(first)] * 2
    assert [row["text"] for row in answer.json["entries"]] == [first]


def test_one_bad_entry_holds_up_no_other(phone):
    texts = [
        phone.write(),
        "no JSON",
        phone.write(site="s-other"),
        phone.write(said={"x": "y" * 70000}),
        17,
        phone.write(),
    ]
    answer = phone.sync(*texts)
    assert ids(answer) == [id_of(texts[0]), id_of(texts[5])]
    assert [(row["index"], row["why"]) for row in answer.json["refused"]] == [
        (1, "unreadable"),
        (2, "other_site"),
        (3, "oversized"),
        (4, "unreadable"),
    ]
    assert answer.json["refused"][2]["id"] == id_of(texts[3])
    assert all(row["say"].endswith(".") for row in answer.json["refused"])


def test_what_was_refused_is_kept_once_and_bounded(phone, book, monkeypatch):
    monkeypatch.setattr(store, "REFUSED_KEPT", 5)
    for index in range(8):
        phone.sync(f"not JSON {index}")
        phone.sync(f"not JSON {index}")
    with book.read() as reader:
        kept = [row["text"] for row in reader.db["refused"].rows]
    assert kept == [f"not JSON {index}" for index in range(3, 8)]


def test_unknown_kinds_and_later_versions_are_kept_whole(phone):
    texts = [phone.write(kind="distil_moonbeams", said={"a": [1, {"b": None}]}), phone.write(v=99)]
    answer = phone.sync(*texts)
    assert ids(answer) == [id_of(text) for text in texts]
    assert [row["marks"] for row in answer.json["entries"]] == [["kind_unknown"], ["kind_unknown"]]


@pytest.mark.parametrize("when", ["0001-01-01T00:00:00.000Z", "1970-01-01T00:00:00.000Z", "9999-12-31T23:59:59.999Z"])
def test_dates_far_off_are_kept(phone, when):
    assert len(phone.sync(phone.write(happened=when, written=when, clock=-(10**12))).json["taken"]) == 1


def test_lines_are_worked_out_again(phone, book):
    gauge = {"weight": {"typed": "80", "unit": "kg"}, "strength": {"typed": "62,4", "unit": "abv"}}
    context = {
        "site": phone.site,
        "device": phone.device,
        "n": 1,
        "by": "Ines",
        "now": 1_764_000_000_000,
        "offset_min": 60,
        "clock": 0,
        "group": None,
        "uses": [],
        "strikes": None,
    }
    right = compose("opening", {"vessel": "H-2", "gauge": gauge, "holds": "hearts"}, context)
    assert right["lines"][0]["ethanol_mg"] > 40_000_000
    wrong = json.loads(json.dumps(right)) | {"id": str(uuid.uuid4()), "n": 2}
    wrong["lines"][0]["ethanol_mg"] += 1
    odd = right | {"id": str(uuid.uuid4()), "n": 3, "said": {"vessel": "not a tag!"}, "lines": []}
    answer = phone.sync(*map(json.dumps, (right, wrong, odd)))
    assert [row["marks"] for row in answer.json["entries"]] == [[], ["lines_differ"], ["said_odd"]]


def test_a_fault_in_the_workings_is_a_mark_and_never_a_refusal(phone, monkeypatch):
    def trip(entry):
        raise ZeroDivisionError

    monkeypatch.setattr(sync, "lines_of", trip)
    answer = phone.sync(phone.write())
    assert answer.json["entries"][0]["marks"] == ["lines_failed"]


def test_pages_by_count_and_by_bytes(phone, monkeypatch):
    phone.sync(*[phone.write() for _ in range(7)])
    monkeypatch.setattr(sync, "PAGE_ENTRIES", 3)
    pages, since = [], 0
    while True:
        answer = phone.sync(since=since).json
        pages.append([row["seq"] for row in answer["entries"]])
        since = answer["since"]
        if not answer["more"]:
            break
    assert pages == [[1, 2, 3], [4, 5, 6], [7]] and since == 7
    monkeypatch.setattr(sync, "PAGE_BYTES", 10)
    answer = phone.sync(since=2).json
    assert [row["seq"] for row in answer["entries"]] == [3] and answer["since"] == 3 and answer["more"]


def test_a_device_that_knew_another_epoch_reads_from_0_and_hears_what_is_there(phone):
    phone.sync(*[phone.write(n=n) for n in (1, 2, 3, 7, 8, 12)], phone.write(device="K.3f9a1c2e", n=5))
    answer = phone.sync(epoch="an older one", since=5)
    assert answer.json["have"] == {phone.device: [[1, 3], [7, 8], [12, 12]], "K.3f9a1c2e": [[5, 5]]}
    assert answer.json["epoch"] == phone.epoch
    assert [row["seq"] for row in answer.json["entries"]] == [1, 2, 3, 4, 5, 6, 7]


def test_a_book_put_back_by_hand_is_noticed(phone):
    phone.sync(phone.write())
    assert "have" in phone.sync(since=9).json
    assert "have" in phone.sync(since=1, head={"seq": 1, "hash": "0" * 64}).json
    head = phone.sync(since=1).json["head"]
    assert "have" not in phone.sync(since=1, head=head).json
    assert "have" in phone.sync(since=1, have=True).json


def test_another_sites_device_hears_which_book_this_is(phone):
    answer = phone.sync(phone.write(), site="s-other", entries=[])
    assert answer.status == 409 and answer.json["site"] == phone.site and answer.json["error"]["field"] == "site"
    phone.token = "never given out"
    assert phone.sync(site="s-other").status == 409


def test_only_the_devices_own_token_opens_the_book(client, phone):
    other = client.pair()
    good = phone.token
    for token in ("", "never given out", other.token):
        phone.token = token
        answer = phone.sync(phone.write())
        assert answer.status == 401 and answer.headers["www-authenticate"] == "Bearer"
    phone.token = good
    assert phone.sync().json["entries"] == []


def test_two_phones_with_one_identity_are_parted_and_both_entries_kept(phone):
    one, two = phone.write(n=5), phone.write(n=5, by="Oskar")
    assert "part" not in phone.sync(one).json
    answer = phone.sync(two)
    assert answer.json["part"] is True
    assert [row["marks"] for row in answer.json["entries"]] == [["number_twice"], ["number_twice"]]
    assert "part" not in phone.sync(two).json  # said once, not at each repeat


def test_a_carrier_of_others_entries_is_not_parted(client, phone):
    carrier = client.pair()
    phone.sync(phone.write(n=5))
    assert "part" not in carrier.sync(phone.write(n=5)).json


def test_two_writers_of_one_id_get_one_record(phone, book):
    texts = [phone.write() for _ in range(40)]
    with ThreadPoolExecutor(8) as pool:
        answers = list(pool.map(lambda _: sync.take(book, texts, phone.device), range(8)))
    assert all(answer["taken"] == answers[0]["taken"] for answer in answers)
    with book.read() as reader:
        assert [record["text"] for record in reader.records()] == texts


def test_two_writers_of_one_id_with_other_bytes_leave_one_and_one_refusal(phone, book):
    text = phone.write()
    other = text.replace("Ines", "Oskar")
    with ThreadPoolExecutor(2) as pool:
        answers = list(pool.map(lambda one: sync.take(book, [one], phone.device), (text, other)))
    assert sorted(len(answer["taken"]) for answer in answers) == [0, 1]
    assert sorted(len(answer["refused"]) for answer in answers) == [0, 1]


def test_a_batch_that_fails_to_be_written_leaves_nothing(phone, book, monkeypatch):
    calls = []

    def fail_at_third(conn, id_, word):
        calls.append(id_)
        if len(calls) == 3:
            raise store.SqliteError("database or disk is full")

    monkeypatch.setattr(store, "mark", fail_at_third)
    texts = [phone.write(kind="unknown") for _ in range(4)]
    answer = phone.sync(*texts)
    assert answer.status == 503 and "disk" in answer.json["error"]["say"]
    monkeypatch.undo()
    assert [row["seq"] for row in phone.sync(*texts).json["taken"]] == [1, 2, 3, 4]


def test_ranges():
    assert sync.ranges([]) == {}
    assert sync.ranges([("A", 1), ("A", 2), ("A", 4), ("B", 9)]) == {"A": [[1, 2], [4, 4]], "B": [[9, 9]]}
