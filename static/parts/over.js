/**
 * One question laid over whatever page is shown, by a module that is no page: a PIN, where an entry asks for one.
 * `lay(view)` shows what `view(answer)` draws until `answer(value)` is called; leaving the page answers with undefined.
 */
import { html, useLayoutEffect, useState } from './html.js';

let shown = null;
let tell = () => {};

/** @param {(answer: (value: any) => void) => object} view @returns {Promise<any>} what was answered */
export function lay(view) {
  shown?.answer(undefined);
  return new Promise((answered) => {
    const own = {
      view,
      answer: (value) => {
        if (shown === own) tell((shown = null));
        answered(value);
      },
    };
    tell((shown = own));
  });
}

export function Over() {
  const [now, set] = useState(shown);
  useLayoutEffect(() => {
    tell = set;
    return () => {
      if (tell === set) tell = () => {};
      shown?.answer(undefined);
    };
  }, []);
  return now && html`<div class="over"><${now.view} answer=${now.answer}/></div>`;
}
