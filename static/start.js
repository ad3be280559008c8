// Watches over the start. In a busy Chromium one start of some 200 gave up the first modules, all in one moment and for no
// reason that we found; no module runs then, and the page would stay blank until it is loaded again. So that is done here,
// a few times, and then said. A classic script on purpose: it must stand when the modules do not.
(() => {
  const [TIMES, WITHIN_MS, PATIENCE_MS] = [3, 60_000, 15_000];

  addEventListener('error', (event) => event.target?.type === 'module' && again(), true);
  setTimeout(() => hasStarted() || tell(), PATIENCE_MS);

  function again() {
    const tries = triesLately();
    if (!tries || tries.length >= TIMES) return tell();
    sessionStorage.setItem('starts', JSON.stringify([...tries, Date.now()]));
    location.reload();
  }

  /** When this tab was loaded again lately, or null where that cannot be kept: without it there would be no end. */
  function triesLately() {
    try {
      const tries = JSON.parse(sessionStorage.getItem('starts') ?? '[]');
      return tries.filter((at) => Math.abs(Date.now() - at) < WITHIN_MS);
    } catch {
      return null;
    }
  }

  function hasStarted() {
    return document.getElementById('app')?.hasChildNodes();
  }

  function tell() {
    if (!document.body) return addEventListener('DOMContentLoaded', tell);
    if (hasStarted()) return;
    const make = (name, words) => Object.assign(document.createElement(name), { textContent: words });
    const key = Object.assign(make('button', 'Load it again'), { className: 'act', onclick: () => location.reload() });
    const main = Object.assign(make('main', ''), { className: 'trouble' });
    main.setAttribute('role', 'alert');
    main.append(
      make('h1', 'Glovebook has not started yet'),
      make(
        'p',
        'Not all of its files have come. Nothing was lost: every entry saved on this device is still in its book.',
      ),
      make(
        'p',
        'If that does not help, close the browser and open it anew; on a first visit, go nearer to the network.',
      ),
      key,
    );
    document.getElementById('app').replaceChildren(main);
  }
})();
