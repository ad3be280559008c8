/** Who writes on this device, and with which PIN they sign. */
import { book } from '../data/book.js';
import { back } from '../parts/go.js';
import { html } from '../parts/html.js';
import { Icon } from '../parts/icons.js';
import { Page } from '../parts/page.js';
import { Pick } from '../parts/pick.js';
import { useBook } from '../parts/use.js';
import { isOffered } from './office-only.js';
import { usePins } from './sign-line.js';

export function PeoplePage() {
  const { state, person } = useBook();
  const pins = usePins();
  const names = Object.values(state.persons)
    .filter((one) => !one.retired)
    .map((one) => one.name)
    .sort();
  const pick = async (name) => {
    await book.setPerson(name);
    back();
  };
  return html`<${Page} title="Who writes?" sub=${person ? `${person} now` : 'nobody picked yet'} back="#/now" tabs>
    <${Pick} label="People" layout="list" options=${names} value=${person} onPick=${pick}/>
    ${
      !names.length &&
      html`<p class="part">
        Nobody is set up yet. Every line in the book has a
        name: ${isOffered('person') ? 'add yours.' : 'the office adds yours.'}
      </p>`
    }
    ${
      person &&
      html`<a class="link" href="#/pin">
        <${Icon} name="lock"/>
        <span>${pins?.some((one) => one.person === person) ? 'Another PIN' : 'Set a PIN'} for <b>${person}</b></span>
        <${Icon} name="on"/>
      </a>`
    }
    ${
      isOffered('person') &&
      html`<a class="link" href="#/setup/person/+">
        <${Icon} name="plus"/>A person who is not in the list<${Icon} name="on"/>
      </a>`
    }
  <//>`;
}
