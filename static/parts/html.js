/** The one place where the page's libraries come in by their bare names (see the import map in index.html). */

import htm from 'htm';
import { h } from 'preact';

export { Component, Fragment, createRef, h, render } from 'preact';
export { useCallback, useEffect, useErrorBoundary, useLayoutEffect, useMemo, useReducer, useRef, useState } from 'preact/hooks';

/** Tagged template that makes elements; text in it is always text. */
export const html = htm.bind(h);
