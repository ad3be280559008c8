"""The papers of any time, worked from what the server says of it, are those of the whole book, on a part of it too."""

import json

import pytest
from large import closed, given_part, months_of, take

from server import store
from server.book.order import at_of
from server.papers_asked import OF_MONTH, paper_of, paper_of_month
from server.store import Store
from server.years import Years

PAPERS = """async ([entries, part, said]) => {
  const load = (name) => import(`/pages/${name}.js`);
  const [{ PAPERS, askedFor }, { OF_PAST }, { SHEETS }, data] = await Promise.all(
    ['records-data', 'past', 'sheet', 'run-sheetdata'].map(load));
  const { fold } = await import('/book/fold.js');
  const { boundsOf } = await import('/book/periods.js');
  const { siteOf } = await import('/parts/use.js');
  const whole = fold(entries);
  const here = fold(part.later, { opening: part.opening });
  const site = siteOf(whole.site);
  const differ = [];
  let told = 0;
  const same = (name, one, other) => {
    const plain = (key, value) => (key.startsWith('__') ? undefined : value); // without the numbers of drawn nodes
    const [left, right] = [one, other].map((value) => JSON.stringify(value, plain) ?? 'none');
    told += left.length;
    let at = 0;
    while (left[at] === right[at] && at < left.length) at += 1;
    const around = (text) => text.slice(Math.max(0, at - 80), at + 120);
    if (left !== right) differ.push([name, around(left), around(right)]);
  };
  for (const [month, answers] of Object.entries(said.months)) {
    const [from, until] = boundsOf(month, whole.site);
    for (const [key, , , , rowsOf] of PAPERS) {
      const at = OF_PAST.read(answers[askedFor(key)], { state: here, entries: part.later });
      const rows = rowsOf({ ...at, site, from, until });
      const right = rowsOf({ state: whole, entries, site, from, until });
      same(`${month} ${key}`, right.map((row) => [row, row.href]), rows.map((row) => [row, row.href]));
    }
    const close = OF_PAST.read(answers.close, { state: here, entries: part.later });
    const closed = [{ state: whole, entries, site }, { ...close, site }].map((given) => SHEETS.close(given, month));
    same(`close ${month}`, ...closed);
  }
  const runSheet = (state, run) => run && [
    run, data.readingRows(state, run, site), data.fillRows(state, run, site), data.chargeRows(state, run, site),
    data.checkLines(run, state), data.strikeLines(state, run, site), data.serialRanges(data.recordsOf(state, run)),
  ];
  for (const [id, answer] of Object.entries(said.ids)) {
    const at = OF_PAST.read(answer, { state: here, entries: part.later });
    for (const sort of ['gauge', 'batch', 'bottling', 'checks'])
      same(`${sort} ${id}`, SHEETS[sort]({ state: whole, entries, site }, id), SHEETS[sort]({ ...at, site }, id));
    same(`run ${id}`, runSheet(whole, whole.runs[id]), runSheet(at.state, at.state.runs[id]));
    const record = ({ entry, at, live, struck_by, rivals }) => [entry, at, live, struck_by, rivals];
    if (whole.entries[id]) same(`entry ${id}`, record(whole.entries[id]), record(at.state.entries[id]));
  }
  return { differ: differ.slice(0, 8), count: differ.length, told };
}"""


@pytest.mark.parametrize("seed", range(3))
def test_papers_of_any_time_are_those_of_the_whole_book(tmp_path, page_at_origin, seed):
    entries = closed(seed)
    with Store(tmp_path / "book.db", site="s-large") as book:
        book.write(store.set_fact, "openings_from", "40").result()
        take(book, entries)
        years = Years(book, max(map(at_of, entries)))
        assert years.known().cut
        groups = {one["group"] for one in entries if one["group"]}
        ids = [one["id"] for one in entries if one["kind"] not in ("reading", "tick", "answer")][::3] + sorted(groups)
        said = {"ids": {one: years.paper(paper_of, one) for one in ids}, "months": {}}
        for month in months_of(entries):
            found = {what: years.paper(paper_of_month, month, what) for what in OF_MONTH}
            found["close"]["account"] = years.account(month)
            said["months"][month] = found
        part = given_part(book)
    found = page_at_origin.evaluate(PAPERS, json.loads(json.dumps([entries, part, said])))
    assert not found["count"], found
    assert found["told"] > 50_000
