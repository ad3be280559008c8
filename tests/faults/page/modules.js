// The page's own modules, once for each opening of a page. Their text is what a browser runs; only the lines that import
// and export are put into the form of a function's, so that each opening has a clock, a storage and a network of its own.

const ROOTS = ['/data/book.js', '/data/sync.js', '/data/device.js', '/data/refused.js'];
const SEEN = [
  'fetch',
  'indexedDB',
  'IDBIndex',
  'IDBObjectStore',
  'IDBCursor',
  'IDBDatabase',
  'IDBTransaction',
  'IDBRequest',
  'navigator',
  'location',
  'document',
  'addEventListener',
  'BroadcastChannel',
  'setTimeout',
  'clearTimeout',
  'setInterval',
  'Date',
  'Math',
  'AbortSignal',
  'console',
];
const IMPORT = /^import \{([^}]*)\} from '([^']+)';$/gm;
const EXPORTED = /^export (?:async )?(?:function|const|class) (\w+)/gm;
const EXPORT_LIST = /^export \{([^}]*)\};$/gm;

const isOwn = (path) => path.startsWith('/data/') || path.startsWith('/vendor/idb/');
const resolve = (from, name) => new URL(name, `http://page${from}`).pathname;

/**
 * @param {Array<[string, string, string]>} bugs [path, text, other text]: what a module is changed by, to prove the tests
 * @returns {Promise<{open: (seen: object, age: string) => (path: string) => object}>}
 */
export async function modules(bugs = []) {
  const [now, before] = [await loaded('', bugs), await loaded('/before', [])];
  return { open: (seen, age) => opening(age === 'before' ? before : now, seen) };
}

/** @param {string} at where the version lies: '' the one of now, '/before' the one before */
async function loaded(at, bugs) {
  const [works, shared] = [new Map(), new Map()];
  const todo = [...ROOTS];
  while (todo.length) {
    const path = todo.pop();
    if (works.has(path)) continue;
    let text = await (await fetch(`${at}${path}`)).text();
    for (const [where, from, to] of bugs) {
      if (where !== path) continue;
      if (text.split(from).length !== 2)
        throw new Error(`The bug for ${path} finds its text ${text.split(from).length - 1} times.`);
      text = text.replace(from, () => to);
    }
    works.set(path, factory(path, text));
    for (const [, , name] of text.matchAll(IMPORT)) {
      const other = resolve(path, name);
      if (isOwn(other)) todo.push(other);
      else if (!shared.has(other)) shared.set(other, await import(`${at}${other}`));
    }
  }
  return { works, shared };
}

function factory(path, text) {
  const names = [...text.matchAll(EXPORTED)].map(([, name]) => name);
  for (const [, list] of text.matchAll(EXPORT_LIST)) names.push(...list.split(',').map((name) => name.trim()));
  const body = text
    .replace(IMPORT, (_, list, name) => `const {${list.replaceAll(' as ', ': ')}} = need('${resolve(path, name)}');`)
    .replace(EXPORT_LIST, '')
    .replace(/^export (?=(?:async )?(?:function|const|class) )/gm, '');
  const left = body.match(/^\s*(?:import|export)\b.*$/m);
  if (left) throw new Error(`${path} has a line that the fault simulator cannot put into a function: ${left[0]}`);
  return new Function(
    'need',
    ...SEEN,
    `'use strict';${body}\nreturn { ${names.join(', ')} };\n//# sourceURL=opened${path}`,
  );
}

function opening({ works, shared }, seen) {
  const open = new Map();
  const need = (path) => {
    if (!isOwn(path)) return shared.get(path);
    if (!open.has(path)) open.set(path, works.get(path)(need, ...SEEN.map((name) => seen[name])));
    return open.get(path);
  };
  return need;
}
