/** Word between the tabs of one browser: which entries changed. Without BroadcastChannel a tab learns it when shown again. */

let channel = null;

/** `fn({site, ids})` is called when another tab changed entries. */
export function listenTo(fn) {
  if (channel || typeof BroadcastChannel === 'undefined') return;
  channel = new BroadcastChannel('glovebook');
  channel.onmessage = (event) => fn(event.data);
}

export function tellTabs(message) {
  channel?.postMessage(message);
}
