/** One device: what is known of it, its role, and the way off the list. */
import { device } from '../data/device.js';
import { revoke, setRole } from '../data/office.js';
import { Ask } from '../parts/ask.js';
import { dateText, momentText } from '../parts/format.js';
import { html, useState } from '../parts/html.js';
import { tick } from '../parts/haptic.js';
import { Icon } from '../parts/icons.js';
import { useSite } from '../parts/use.js';
import { Panel } from './run-save.js';

export const lettersOf = (name) => name.split('.')[0];
const MAY = { floor: 'enters, reads and sends', office: 'also sets up, and looks after devices and PINs' };
const other = (role) => (role === 'floor' ? 'office' : 'floor');

export function DevicePanel({ one, all, onDone, onClose }) {
  const [asking, setAsking] = useState(null);
  const [problem, setProblem] = useState(null);
  const letters = lettersOf(one.device);
  const doIt = async (work) => {
    setAsking(null);
    try {
      await work();
      await onDone();
      setProblem(null);
    } catch (error) {
      setProblem(error.message);
    }
  };
  const questions = {
    revoke: { say: revokeWords(one, all), yes: `Revoke ${letters}`, work: () => revoke(one.device) },
    role: { say: roleWords(one), yes: `Make it ${other(one.role)}`, work: () => setRole(one.device, other(one.role)) },
  };
  const asked = questions[asking];
  const keys = html`<div class="two" data-even>
    <button type="button" class="box" onClick=${() => {
      tick();
      setAsking('role');
    }}>Make it ${other(one.role)}</button>
    <button type="button" class="box" onClick=${() => {
      tick();
      setAsking('revoke');
    }}>Revoke</button></div>`;
  const foot = html`${problem && html`<p class="why" role="alert"><${Icon} name="failed"/><span>${problem}</span></p>`}
    ${
      asked
        ? html`<${Ask} say=${asked.say} yes=${asked.yes} no="Leave it" onNo=${() => setAsking(null)}
            onYes=${() => doIt(asked.work)}/>`
        : !one.revoked && keys
    }`;
  return html`<${Panel} title=${`Device ${letters}`} onClose=${onClose} foot=${foot}><${About} one=${one}/><//>`;
}

function About({ one }) {
  const site = useSite();
  const when = (text) =>
    text ? `${dateText(Date.parse(text), site)}, ${momentText(Date.parse(text), site).split('\u00a0').at(-1)}` : null;
  const rows = [
    ['Role', `${one.role}: ${MAY[one.role]}`],
    ['Paired', when(one.paired)],
    ['Last seen', when(one.seen) ?? 'never'],
    ['Revoked', when(one.revoked) ?? 'no'],
    ['Before', one.was ?? 'nothing'],
    ['Identity', one.device],
  ];
  return html`<table class="table words-table"><tbody>${rows.map(
    ([name, value]) => html`<tr key=${name}><th>${name}</th><td>${value}</td></tr>`,
  )}</tbody></table>
    <p class="note">${
      one.revoked
        ? 'It can neither bring nor fetch entries. What it brought stays in the book; what was not sent yet stays on it, can be read there, and saved to a file.'
        : 'Its letters are part of every entry’s serial and are never given to another device.'
    }</p>`;
}

function revokeWords(one, all) {
  const isOwn = one.device === device.id;
  const heirs = all
    .filter((later) => later.was === one.device && !later.revoked)
    .map((later) => lettersOf(later.device));
  return html`${
    isOwn && html`<b>This is the device you hold. </b>`
  }Revoke ${lettersOf(one.device)}? From then on it brings and fetches nothing, and can only be paired anew with a code.
    What it wrote stays, here and on it. Codes that are still open are closed.${
      heirs.length > 0 && html` ${heirs.join(', ')}, paired with its token, may go as well.`
    }`;
}

function roleWords(one) {
  const letters = lettersOf(one.device);
  if (one.role === 'floor') return `${letters} could then set up the house, pair and revoke devices, and reset PINs.`;
  return `${one.device === device.id ? 'This is the device you hold: this page would close for it. ' : ''}${letters} would enter, read and send only. It hears of it with its next sync.`;
}
