/** Stands in for the live book in the gallery: an invented house and what its strip shows. `?strip=failed` and `?strip=refused` turn it. */

const asked = new URLSearchParams(location.search);
const now = Date.now();

export const book = {
  state: {
    site: {
      name: 'Emmerfold',
      zone: 'Europe/Vienna',
      phone_zone: 'the bench behind the yellow line',
      emergency_number: '112',
      units:
        asked.get('units') === 'us'
          ? { volume: 'usgal', mass: 'lb', temperature: 'F', strength: 'proof', alcohol: 'PG' }
          : undefined,
    },
  },
  demo: asked.has('demo'),
  saved: {
    at: now - 11 * 60000,
    sent: 208,
    waiting: 3,
    refused: asked.get('strip') === 'refused' ? 1 : 0,
    last_sync: now - 24 * 60000,
    failed: asked.get('strip') === 'failed' ? { at: now, say: 'The storage is full.' } : null,
  },
  subscribe: () => () => {},
};
