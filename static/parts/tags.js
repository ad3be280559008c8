/** Tags, lot codes and days within running text: L26-290 never breaks at its hyphen. */
import { html } from './html.js';

const TAG = /((?:[A-Za-z]\w*|\d{4})(?:-\w+)*-\d\w*)/;

/** A text with its tags kept whole: words and nodes for a template. What is no text stays as it is. */
export const tagsWhole = (text) =>
  typeof text === 'string'
    ? text.split(TAG).map((part, at) => (at % 2 ? html`<span class="nw">${part}</span>` : part))
    : text;
