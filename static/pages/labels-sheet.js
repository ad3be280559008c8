/** Sheets of labels as drawings in millimetres: what is on the screen is what the printer gets. */
import { html, useLayoutEffect, useMemo } from '../parts/html.js';
import { qrOf } from '../parts/qr.js';
import { layoutOf, pagesOf } from './labels-layout.js';

const mm = (value) => Math.round(value * 100) / 100;

/** labels: of labels-data; paper: of labels-layout; skip: free places at the start; address: before the #; foot: the house */
export function Sheets({ labels, paper, skip, isCut, address, foot }) {
  usePaper(paper.page);
  const pages = pagesOf(labels, paper, skip);
  return pages.map(
    (places, index) =>
      html`<${Sheet} key=${index} places=${places} paper=${paper} isFirst=${index === 0} isCut=${isCut}
          address=${address} foot=${foot}/>`,
  );
}

/** The printer's page has the paper's own size, without a margin, while this page stands. */
function usePaper([wide, high]) {
  useLayoutEffect(() => {
    const sheet = new CSSStyleSheet();
    sheet.replaceSync(`@page { size: ${wide}mm ${high}mm; margin: 0; }`);
    document.adoptedStyleSheets = [...document.adoptedStyleSheets, sheet];
    return () => {
      document.adoptedStyleSheets = document.adoptedStyleSheets.filter((one) => one !== sheet);
    };
  }, [wide, high]);
}

function Sheet({ places, paper: { page, columns, rows }, isFirst, isCut, address, foot }) {
  const [wide, high] = page;
  const size = [wide / columns, high / rows];
  const told = `A page with ${places.length} ${places.length === 1 ? 'label' : 'labels'}: ${places.map(({ label }) => label.title).join(', ')}`;
  return html`<div class=${`label-page ${isFirst ? '' : 'print-only'}`}>
    <svg viewBox="0 0 ${wide} ${high}" width="${wide}mm" height="${high}mm" role="img" aria-label=${told}>
      ${isCut && html`<${Cuts} page=${page} columns=${columns} rows=${rows}/>`}
      ${places.map(
        ({ label, x, y }, index) =>
          html`<g key=${index} transform="translate(${mm(x)} ${mm(y)})">
          <${Label} label=${label} size=${size} address=${address} foot=${foot}/>
        </g>`,
      )}
    </svg>
  </div>`;
}

function Label({ label, size: [wide, high], address, foot }) {
  const url = `${address}/#${label.to}`;
  const { size, path } = useMemo(() => qrOf(url), [url]);
  const { code, texts } = useMemo(() => layoutOf(label, foot, wide, high), [label, foot, wide, high]);
  return html`<path class="code" d=${path} transform="translate(${mm(code.x)} ${mm(code.y)}) scale(${code.side / size})"
        shape-rendering="crispEdges"/>
    ${texts.map(
      ({ text, x, y, size: tall, isBold }, index) =>
        html`<text key=${index} x=${mm(x)} y=${mm(y)}
            style=${{ fontSize: `${mm(tall)}px`, fontWeight: isBold ? 700 : 500 }}>
          ${text}
        </text>`,
    )}`;
}

/** Hairlines between the labels, for plain paper. */
function Cuts({ page: [wide, high], columns, rows }) {
  const across = Array.from({ length: columns - 1 }, (_, n) => `M${mm(((n + 1) * wide) / columns)} 0V${high}`);
  const down = Array.from({ length: rows - 1 }, (_, n) => `M0 ${mm(((n + 1) * high) / rows)}H${wide}`);
  return html`<path class="cuts" d=${[...across, ...down].join('')}/>`;
}
