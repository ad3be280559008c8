/** A tick that a glove feels. Phones without a motor (and every iPhone's browser) just stay still. */

export function tick() {
  navigator.vibrate?.(10);
}

/** Two short knocks: the key did nothing, on purpose. */
export function knock() {
  navigator.vibrate?.([15, 50, 15]);
}
