/** Laboratory results beside the market's limits, each with its document; what is missing for a release. */
import { marketOf } from '../book/bottleChecks.js';
import { limitsOf, resultsFor } from '../book/standing.js';
import { numberText } from '../parts/format.js';
import { html } from '../parts/html.js';
import { Icon } from '../parts/icons.js';

const UNIT = 'g/hL of pure alcohol';

/** What the market asks of a place: {market, rows: [{what, limits, value, state}], others, missing, over}. extra: results that are being typed, by residue */
export function labOf(state, place, extra = {}) {
  const [market, name] = marketOf(state);
  const results = { ...(place ? resultsFor({ state }, place) : {}), ...extra };
  const strictest = limitsOf(market);
  const rows = [...strictest].map(([what, limit]) => {
    const value = results[what] ?? null;
    const limits = market.residues.filter(
      (one) => one.what === what || one.what.startsWith(`${what},`) || one.what.startsWith(`${what} `),
    );
    return { what, limit, limits, value, state: value === null ? 'missing' : value > limit.value ? 'over' : 'within' };
  });
  const others = Object.entries(results)
    .filter(([what]) => !strictest.has(what))
    .map(([what, value]) => ({ what, value }));
  return {
    market: name,
    rows,
    others,
    missing: rows.filter((row) => row.state === 'missing').map(({ what }) => what),
    over: rows.filter((row) => row.state === 'over').map(({ what }) => what),
  };
}

const STATES = {
  missing: { icon: 'ring', word: 'no result' },
  over: { icon: 'stop', word: 'over the limit' },
  within: { icon: 'ok', word: 'within' },
};

/** A result with all the digits it was said with: 0.54 is over a limit of 0.5, and 0.5 would not be. */
const shown = (value) => numberText(value, Math.max(1, (String(value).split('.')[1] ?? '').length));

export function LabTable({ state, place, extra }) {
  const found = labOf(state, place, extra);
  if (!found.rows.length && !found.others.length)
    return html`<p class="part note">
      ${found.market === 'own' ? 'No market is chosen for this house' : `${found.market}: no residue limit is known here`}:
      local law decides.
    </p>`;
  return html`<section class="part lab-table">
    <h2>${found.rows.length ? `Limits, ${found.market}` : 'Results'}</h2><p class="note">In ${UNIT}.</p>
    ${found.rows.map((row) => html`<${Residue} key=${row.what} row=${row}/>`)}
    ${found.others.map(
      ({ what, value }) =>
        html`<div class="line" key=${what}><span>${what}</span><b class="nw">${shown(value)}, no limit</b></div>`,
    )}
    ${
      found.rows.length > 0 &&
      html`<p class="with">
        <${Icon} name=${found.over.length ? 'stop' : found.missing.length ? 'ring' : 'ok'}/>
        <span><b>${verdictOf(found)}</b></span>
      </p>`
    }
    <p class="note">Only a laboratory’s result counts here; a cut is no proof of any of it.</p>
  </section>`;
}

function Residue({ row }) {
  const { icon, word } = STATES[row.state];
  return html`<div class="residue" data-state=${row.state}>
    <div class="line">
      <span class="with"><${Icon} name=${icon}/><b>${row.what}</b></span>
      <b class="nw">${row.value === null ? '–' : shown(row.value)} of ${numberText(row.limit.value, 1)}, ${word}</b>
    </div>
    ${row.limits.map(
      (one) =>
        html`<small class="note" key=${one.what}>
          ${row.limits.length > 1 ? `${numberText(one.value, 0)}, ${one.what}: ` : ''}
          ${one.source}
          ${one.seen === 'memory' ? ' (from memory: check it)' : ''}
        </small>`,
    )}
  </div>`;
}

/** What stands between it and a release. */
export function verdictOf({ missing, over, market }) {
  if (over.length)
    return `Over the limit: ${over.join(', ')}. Hold it; only another rectification and another analysis make it good.`;
  if (missing.length) return `Missing for a release (${market}): ${missing.join(', ')}.`;
  return `Every result that ${market} asks for is there and within its limit.`;
}
