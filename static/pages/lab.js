/** The laboratory's side of a tank or a bottled lot: results beside limits, what is missing, who analysed what and when. */
import { momentText } from '../parts/format.js';
import { html } from '../parts/html.js';
import { Icon } from '../parts/icons.js';
import { Page } from '../parts/page.js';
import { useBook, useNow, useSite } from '../parts/use.js';
import { LabTable } from './lab-table.js';
import { PaperHead } from './paper-head.js';
import { writePath } from './write-ways.js';

const BACK = { vessel: '#/vessel', stock: '#/stock', lot: '#/lots' };

/** sort: vessel, stock or lot */
export function LabPage({ sort, tag }) {
  const { state } = useBook();
  const site = useSite();
  const now = useNow(60000);
  const place = `${sort}/${tag}`;
  const about = `${sort === 'vessel' ? '' : 'lot '}${tag}${state.states[place] ? `, ${state.states[place].state}` : ''}`;
  const known = state.states[place];
  const lot = sort === 'stock' ? state.stock[tag] : null;
  const since = sort === 'vessel' ? (state.places[place]?.since ?? 0) : 0;
  const rows = [...(state.labs[place] ?? []), ...(lot ? (state.labs[`vessel/${lot.vessel}`] ?? []) : [])].sort(
    (a, b) => b.at - a.at,
  );
  return html`<${Page} title="Laboratory" sub=${about} back=${`${BACK[sort] ?? '#/vessel'}/${encodeURIComponent(tag)}`}
      foot=${html`<div class="two">
        <a class="act" href=${writePath('lab', tag)}>Enter a result</a>
        <a class="act plain" href=${writePath('state', tag)}>Hold, release</a>
      </div>`}>
    <${PaperHead} title=${`Laboratory, ${about}`} span=${`as the book stands ${momentText(now, site, 0)}`} site=${site}
        now=${now} isUpright=${true}/>
    ${
      known?.state === 'quarantine' &&
      known.reason &&
      html`<p class="part with"><${Icon} name="lock"/><span><b>In quarantine.</b> ${known.reason}</span></p>`
    }
    ${sort !== 'lot' && html`<${LabTable} state=${state} place=${place}/>`}
    <section class="part rows-part">
      <h2>Reports</h2>${!rows.length && html`<p class="note">No result was entered yet.</p>`}
      ${rows.map(
        (one) => html`<a class="link" key=${one.id} href=${`#/entry/${one.id}`}>
          <span>
            <b>${one.laboratory}${one.ref ? `, ${one.ref}` : ''}</b>
            <small class="block">
              ${momentText(one.at, site)}${one.at < since ? ', of what was in it before' : ''}: ${Object.keys(one.results).join(', ')}
            </small>
          </span>
          <${Icon} name="on"/>
        </a>`,
      )}
    </section>
  <//>`;
}
