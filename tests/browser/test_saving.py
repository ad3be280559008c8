"""Saved means on disk; what was not saved says so and costs nothing."""

from floor import names, on_server, run, saved, sync_now, until, write

FAIL_ADDS = """
  const add = IDBObjectStore.prototype.add;
  let left = given.times;
  IDBObjectStore.prototype.add = function (...words) {
    if (this.name === 'entries' && left-- > 0) throw new DOMException('injected', given.name);
    return add.apply(this, words);
  };
  window.mend = () => { IDBObjectStore.prototype.add = add; };
"""


def test_a_write_uses_a_strict_transaction_and_resolves_after_it_is_complete(phone):
    page = phone().open()
    told = run(
        page,
        """
        const seen = [];
        const transaction = IDBDatabase.prototype.transaction;
        IDBDatabase.prototype.transaction = function (stores, mode, options) {
          const tx = transaction.call(this, stores, mode, options);
          if (mode === 'readwrite' && [...tx.objectStoreNames].includes('drafts')) {
            seen.push(tx.durability);
            tx.addEventListener('complete', () => seen.push('complete'));
          }
          return tx;
        };
        await book.write('person', { name: 'Ines' }, { by: 'Ines' }).then(() => seen.push('said'));
        return seen.slice(0, 3);
        """,
    )
    assert told == ["strict", "complete", "said"]


def test_numbers_run_on_without_gap_or_repeat_also_when_written_at_once(phone):
    page = phone().open()
    numbers = run(
        page,
        """
        const all = Array.from({ length: 20 }, (_, i) => book.write('person', { name: `P${i}` }, { by: 'P' }));
        return (await Promise.all(all)).map((entry) => entry.n).sort((a, b) => a - b);
        """,
    )
    assert numbers == list(range(1, 21))


def test_a_failed_write_says_not_saved_and_the_next_try_saves_it_once(phone, server):
    ines = phone()
    page = ines.open()
    ines.offline()
    run(page, FAIL_ADDS, {"times": 99, "name": "QuotaExceededError"})
    failed = run(page, "return book.write('person', { name: 'Ines' }, { by: 'I' }).catch((e) => [e.name, e.say])")
    assert failed[0] == "NotSaved" and "storage of this phone is full" in failed[1]
    assert saved(page)["failed"]["say"] == failed[1]
    assert names(page) == [] and saved(page)["waiting"] == 0
    page.evaluate("window.mend()")
    entry = write(page, "Ines")
    assert entry["n"] == 1  # the number of the failed try was not spent
    assert saved(page)["failed"] is None and names(page) == ["Ines"]
    ines.offline(False)
    sync_now(page)
    assert on_server(server) == ["Ines"]


def test_on_a_full_disk_the_browser_itself_refuses_and_the_page_says_not_saved(phone):
    ines = phone(lasting=True)
    write(ines.open(), "Ines")
    ines.close()
    ines.launch()  # begun anew: a running browser goes on with the room that it was promised
    disk, origin = ines.cdp(), {"origin": ines.url}
    disk.send("Storage.overrideQuotaForOrigin", origin | {"quotaSize": 1})
    page = ines.open()
    tried = "return book.write('person', { name: given }, { by: given }).catch((e) => `${e.cause?.name} ${e.say}`)"
    told = run(page, tried, "Oskar")
    assert str(told).startswith("QuotaExceededError NOT SAVED: the storage of this phone is full")
    assert names(page) == ["Ines"]
    ines.close()  # some space is freed
    page = ines.open()
    assert run(page, tried, "Oskar")["n"] == 2
    assert names(page) == ["Ines", "Oskar"]


def test_several_alike_that_failed_together_are_each_saved_once(phone):
    page = phone().open()
    alike = """
      const row = { kind: 'person', said: { name: 'Ines' }, by: 'Ines' };
      return book.writeAll([row, row]).then((all) => all.length, (e) => e.name);
    """
    run(page, FAIL_ADDS, {"times": 9, "name": "QuotaExceededError"})
    assert run(page, alike) == "NotSaved"
    page.evaluate("window.mend()")
    assert run(page, alike) == 2
    assert names(page) == ["Ines", "Ines"]


def test_a_lost_connection_is_opened_again_and_the_entry_saved_once(phone):
    page = phone().open()
    run(
        page,
        """
        const transaction = IDBDatabase.prototype.transaction;
        let lost = true;
        IDBDatabase.prototype.transaction = function (...words) {
          const wasLost = lost;
          lost = false;
          if (wasLost) throw new DOMException('The database connection is closing.', 'InvalidStateError');
          return transaction.apply(this, words);
        };
        """,
    )
    assert write(page, "Ines")["n"] == 1
    assert names(page) == ["Ines"] and saved(page)["failed"] is None


def test_a_connection_lost_in_the_middle_is_repeated_with_the_same_id_and_number(phone):
    page = phone().open()
    run(page, FAIL_ADDS, {"times": 1, "name": "UnknownError"})
    assert write(page, "Ines")["n"] == 1
    kept = run(
        page,
        "return device.db.read(['entries', 'outbox'], async (tx) => "
        "[await tx.objectStore('entries').count(), await tx.objectStore('outbox').count()])",
    )
    assert kept[0] == 1 and kept[1] <= 1
    assert names(page) == ["Ines"]


def test_what_could_not_be_read_at_the_start_is_read_at_the_next_chance(phone):
    page = phone().open()
    write(page, "Ines")
    page.add_init_script("""
      const { getAll } = IDBObjectStore.prototype;
      window.isBroken = true;
      IDBObjectStore.prototype.getAll = function (...words) {
        if (this.name === 'entries' && window.isBroken) throw new DOMException('is closing', 'InvalidStateError');
        return getAll.apply(this, words);
      };
    """)
    page.reload()
    until(page, "book.trouble?.startsWith('The storage of this browser does not open')")
    run(page, "window.isBroken = false;")
    write(page, "Oskar")
    assert names(page) == ["Ines", "Oskar"]
    assert run(page, "return book.trouble") is None


def test_a_closed_connection_is_no_failure(phone):
    page = phone().open()
    run(page, "await device.db.close()")
    write(page, "Ines")
    assert names(page) == ["Ines"]


def test_another_tab_sees_a_new_entry_at_once(phone):
    ines = phone()
    first = ines.open()
    second = ines.tab()
    write(first, "Ines")
    until(second, "book.entries.some((e) => e.said.name === 'Ines')")
    # A tab that dies before it tells the others: they see by the storage that they lag behind, also without a network.
    ines.offline()
    run(first, "window.lost = 0; BroadcastChannel.prototype.postMessage = () => { window.lost += 1; };")
    write(first, "Jan")
    assert first.evaluate("window.lost") > 0
    run(second, "await sync.syncNow()")
    assert names(second) == ["Ines", "Jan"]


def test_the_outbox_can_be_carried_to_another_device_as_a_file(phone, server):
    ines, desk = phone("ines"), phone("desk")
    page = ines.open()
    ines.ready()
    ines.offline()
    write(page, "Ines")
    text = run(page, "return (await (await import('/data/outboxfile.js')).outboxFile()).text()")
    assert saved(page)["waiting"] == 1  # a file is no answer of the server
    at_desk = desk.open()
    read_in = "return (await import('/data/outboxfile.js')).readOutbox(new Blob([given]))"
    assert run(at_desk, read_in, text) == {"taken": 1, "known": 0}
    assert run(at_desk, read_in, text) == {"taken": 0, "known": 1}
    sync_now(at_desk)
    assert on_server(server) == ["Ines"]
    cut = run(at_desk, read_in.replace("new Blob([given]))", "new Blob([given])).catch((e) => e.message)"), text[:-20])
    assert "cut short" in cut
    ines.offline(False)
    sync_now(page)
    assert on_server(server) == ["Ines"]


def test_a_file_of_another_house_is_not_taken(phone):
    page = phone().open()
    text = '{"format": "glovebook outbox 1", "site": "other", "device": "K.00000000", "entries": []}'
    said = run(
        page,
        "return (await import('/data/outboxfile.js')).readOutbox(new Blob([given])).catch((e) => e.message)",
        text,
    )
    assert "belongs to the book of site other" in said
