/**
 * Icons on a 28 px grid: 2 px line, butt ends, mitred corners, in the colour of the text. Solid only for states.
 * Never without a word beside them, except back and erase, which are labelled.
 */
import { html } from './html.js';

const DISC = 'M2.5 14a11.5 11.5 0 1 0 23 0a11.5 11.5 0 1 0-23 0z';

/** name: parts of the drawing, each [path, 'solid' | 'thick' | 'thin'] */
const ICONS = {
  back: [['M25 14H5M13 5L4 14l9 9']],
  on: [['M3 14H23M15 5L24 14l-9 9']],
  full: [['M2 14a12 12 0 1 0 24 0a12 12 0 1 0-24 0z', 'solid']],
  half: [
    [DISC, 'thick'],
    ['M14 2.5a11.5 11.5 0 0 1 0 23z', 'solid'],
  ],
  ring: [[DISC, 'thick']],
  struck: [
    [DISC, 'thick'],
    ['M3 25L25 3', 'thick'],
  ],
  failed: [['M3 3h22v22H3zM3 3l22 22M25 3L3 25', 'thick']],
  now: [['M3 22a11 11 0 1 1 22 0M14 22L20 11M5 14.5l2.5 1M14 7v3M9 8.500l1 2.200'], ['M3 22h22', 'thin']],
  vessel: [['M7 3h14M8 3v19l3 3h6l3-3V3M8 12h12M8 16h4M8 20h4']],
  book: [['M4 4h9l1 2 1-2h9v20h-9l-1 1-1-1H4zM14 6v19M7 10h4M7 14h4M7 18h4M17 10h4M17 14h4']],
  reckon: [['M4 8h9M8.500 3.500v9M16 8h9M4 20.500h9M16 18h9M16 23h9']],
  danger: [['M3 24L14 4l11 20zM14 11v6.500M14 19.500v2.500']],
  flag: [['M6 26V3h16l-5 6 5 6H6']],
  how: [['M9 4l10 10L9 24']],
  stop: [['M9 3h10l6 6v10l-6 6H9l-6-6V9z']],
  advisory: [['M14 2l12 12-12 12L2 14z']],
  erase: [['M10 5h16v18H10L2 14zM14 10l8 8M22 10l-8 8']],
  ok: [['M3 15l8 8L25 5', 'thick']],
  cross: [['M5 5l18 18M23 5L5 23', 'thick']],
  clock: [['M3 14a11 11 0 1 0 22 0a11 11 0 1 0-22 0zM14 6v8l5 4']],
  drop: [['M14 3c4 6 7 9.500 7 14a7 7 0 0 1-14 0c0-4.500 3-8 7-14z']],
  flash: [['M14 3c5 5 8 9 8 14a8 8 0 0 1-16 0c0-3 1.500-5 3.500-7 .5 2 1.500 3 3 3.500C12 10 12.500 6.500 14 3z']],
  phone: [['M9 3h10v22H9zM12.500 21.500h3M3 3l22 22']],
  device: [['M8 2h12v24H8zM12 22.500h4']],
  law: [['M14 4v20M8 24h12M5 8h18M5 8l-3 8h6zM23 8l-3 8h6z']],
  undo: [['M10 4L4 10l6 6M4 10h12a7 7 0 0 1 0 14h-6']],
  sync: [['M24 11A11 11 0 0 0 5 8M4 17a11 11 0 0 0 19 3M5 2v6h6M23 26v-6h-6']],
  move: [['M3 9h18M16 4l5 5-5 5M25 19H7M12 14l-5 5 5 5']],
  plus: [['M14 4v20M4 14h20']],
  up: [['M4 19L14 9l10 10']],
  down: [['M4 9l10 10L24 9']],
  person: [['M9 9a5 5 0 1 0 10 0a5 5 0 1 0-10 0zM4 25c0-6 4-9 10-9s10 3 10 9']],
  setup: [['M4 8h12M22 8h2M16 5v6h6V5zM4 20h2M12 20h12M6 17v6h6v-6z']],
  print: [['M8 10V3h12v7M8 20H4V10h20v10h-4M8 16h12v9H8z']],
  find: [['M3 11.500a8.500 8.500 0 1 0 17 0a8.500 8.500 0 1 0-17 0zM18 18l7 7']],
  lock: [['M6 12h16v12H6zM9 12V9a5 5 0 0 1 10 0v3M14 16v4']],
};

const WEIGHT = { thick: 3, thin: 1 };

/** `<${Icon} name="clock" label="..."/>`: with a label it speaks for itself, without one it is beside its word. */
export function Icon({ name, label }) {
  const parts = ICONS[name] ?? [];
  return html`<svg class="icon" viewBox="0 0 28 28" role=${label ? 'img' : undefined} aria-label=${label}
      aria-hidden=${label ? undefined : 'true'}>${parts.map(
        ([d, kind]) => html`<path d=${d} fill=${kind === 'solid' ? 'currentColor' : 'none'}
      stroke=${kind === 'solid' ? 'none' : 'currentColor'} stroke-width=${WEIGHT[kind] ?? 2} />`,
      )}</svg>`;
}

export const iconNames = Object.keys(ICONS);
