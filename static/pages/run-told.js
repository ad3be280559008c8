/** What this phone has told its person once already. No entry and no draft: losing it only means that it is said again. */

const PREFIX = 'told ';
const here = new Set(); // where the browser keeps nothing, told once per visit

export function wasTold(what) {
  try {
    return here.has(what) || localStorage.getItem(PREFIX + what) !== null;
  } catch {
    return here.has(what);
  }
}

export function setTold(what) {
  here.add(what);
  try {
    localStorage.setItem(PREFIX + what, '1');
  } catch {
    // A private window: `here` keeps it as long as the page stands.
  }
}
