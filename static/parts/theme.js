/** The three plates: day, night, and dim for a still house at night. `/theme.js` puts the kept one on before the first paint. */

export const THEMES = [
  { value: 'day', label: 'Day' },
  { value: 'night', label: 'Night' },
  { value: 'dim', label: 'Dim', sub: 'no red light' },
];

export const theme = () => document.documentElement.dataset.theme ?? 'day';

/** Puts a theme on and keeps it on this device. */
export function setTheme(name) {
  document.documentElement.dataset.theme = name;
  const plate = getComputedStyle(document.documentElement).getPropertyValue('--plate').trim();
  document.querySelector('meta[name="theme-color"]')?.setAttribute('content', plate);
  try {
    localStorage.setItem('theme', name);
  } catch {
    /* shown, not kept: this browser keeps nothing */
  }
}
