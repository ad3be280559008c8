// Runs before the first paint, so that a page opened at night in the still house never flashes white.
// A classic script on purpose: modules run only after the document is parsed.
(() => {
  const themes = ['day', 'night', 'dim'];
  let kept = null;
  try {
    kept = localStorage.getItem('theme');
  } catch {
    /* storage is closed to this page: day it is */
  }
  if (themes.includes(kept)) document.documentElement.dataset.theme = kept;
})();
