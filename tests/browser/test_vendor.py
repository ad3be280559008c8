"""The vendored libraries are the released files, and the combination of them does what the pages rely on."""

import shutil

import vendor


def test_vendored_files_are_as_released():
    # Source of the hashes: the tarballs of the npm registry, held to its sha512 integrity when they were fetched.
    assert vendor.problems() == []


def test_the_library_of_the_tests_is_as_released():
    assert vendor.problems(vendor.TESTS_OWN, vendor.TEST_LIBRARIES) == []


def test_a_changed_file_is_found(tmp_path):
    copy = tmp_path / "vendor"
    shutil.copytree(vendor.VENDOR, copy)
    with open(copy / "htm" / "htm.mjs", "a") as file:
        file.write("\n")
    assert vendor.problems(copy) == ["htm/htm.mjs is not the released file"]


def test_every_library_has_its_licence():
    for place, libraries in vendor.PLACES:
        for name, *_ in libraries:
            assert (place / name / "LICENSE").stat().st_size > 200, name


def test_a_static_part_survives_being_moved_taken_away_and_drawn_again(page_at_origin):
    # htm keeps static subtrees and hands out the same element again; preact must cope with that.
    shown = page_at_origin.evaluate("""async () => {
      const { html, render } = await import('/parts/html.js');
      const root = document.createElement('div');
      const still = () => html`<p><b>still</b></p>`;
      const draw = (list, on) => {
        render(html`<div>${on ? html`<p><b>note</b></p>` : null}${list.map((key) =>
          html`<section key=${key}><i>fixed</i>${key}${still()}</section>`)}</div>`, root);
        return root.textContent;
      };
      return [
        draw(['a', 'b'], true), draw(['b', 'a', 'c'], false), draw(['c'], true), draw([], false), draw(['a'], true),
      ];
    }""")
    assert shown == [
        "notefixedastillfixedbstill",
        "fixedbstillfixedastillfixedcstill",
        "notefixedcstill",
        "",
        "notefixedastill",
    ]


def test_hooks_keep_state_and_an_error_boundary_recovers(page_at_origin):
    shown = page_at_origin.evaluate("""async () => {
      const { html, render, useState, useErrorBoundary } = await import('/parts/html.js');
      const root = document.createElement('div');
      let add, mend, broken = false;
      const Count = () => {
        const [count, set] = useState(0);
        add = () => set((n) => n + 1);
        if (broken) throw new Error('broken');
        return html`<b>${count}</b>`;
      };
      const Guard = () => {
        const [error, forget] = useErrorBoundary();
        mend = forget;
        return error ? html`<i>${error.message}</i>` : html`<${Count} />`;
      };
      const settle = () => new Promise((done) => setTimeout(done, 30));
      render(html`<${Guard} />`, root);
      add(); await settle();
      const first = root.innerHTML;
      broken = true; add(); await settle();
      const second = root.innerHTML;
      broken = false; mend(); await settle();
      return [first, second, root.innerHTML];
    }""")
    assert shown == ["<b>1</b>", "<i>broken</i>", "<b>0</b>"]
