/** The one door to the page's library: preact, its hooks, htm. Everything else imports from here. */
import { Fragment, createContext, h, render } from 'preact';
import htm from 'htm';

export { Fragment, createContext, h, render };
export {
  useCallback,
  useContext,
  useEffect,
  useErrorBoundary,
  useId,
  useLayoutEffect,
  useMemo,
  useReducer,
  useRef,
  useState,
} from 'preact/hooks';

export const html = htm.bind(h);
