/** Finds the page for an address like `#/run/0192.../reading`. Pure. */

/**
 * @param {Array<[string, Function, string, string?]>} routes as pages/routes.js has them
 * @param {string} hash what stands after the address, with its `#`
 * @returns {{route: Array, params: Object<string, string>} | null}
 */
export function routeOf(routes, hash) {
  const parts = partsOf(hash.replace(/^#/, '').split('?')[0]);
  for (const route of routes) {
    const params = match(partsOf(route[0]), parts);
    if (params) return { route, params };
  }
  return null;
}

function partsOf(address) {
  return address.split('/').filter(Boolean);
}

function match(wanted, parts) {
  if (parts.length > wanted.length) return null;
  const params = {};
  for (const [index, name] of wanted.entries()) {
    const part = parts[index];
    if (!name.startsWith(':')) {
      if (part !== name) return null;
    } else if (part !== undefined) {
      params[name.replace(/[:?]/g, '')] = decode(part);
    } else if (!name.endsWith('?')) {
      return null;
    }
  }
  return params;
}

function decode(part) {
  try {
    return decodeURIComponent(part);
  } catch {
    return part; // a half-typed % in the address: the page will say that it knows no such thing
  }
}
