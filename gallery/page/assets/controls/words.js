// Quantities in words, as a screen reader says them.

const PARTS_OF_A_STOP = [[0, ""], [1 / 3, "a third"], [1 / 2, "half"], [2 / 3, "two thirds"], [1, ""]];
const SMALL_NUMBERS = ["no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"];

/** Return how many stops: `two stops`, `a third of a stop`, `one and a half stops`, `2.2 stops`. */
export function stopsWords(stops) {
  const size = Math.abs(stops);
  const found = PARTS_OF_A_STOP.find(([part]) => Math.abs(size - Math.floor(size) - part) < 0.02);
  if (!found || size > 10) return `${size.toFixed(1)} stops`;
  const whole = found[0] === 1 ? Math.floor(size) + 1 : Math.floor(size);
  if (!found[1]) return `${SMALL_NUMBERS[whole]} ${whole === 1 ? "stop" : "stops"}`;
  if (!whole) return found[1] === "half" ? "half a stop" : `${found[1]} of a stop`;
  return `${SMALL_NUMBERS[whole]} and ${found[1] === "half" ? "a half" : found[1]} stops`;
}

/** Return an exposure relative to the one taken: `two stops under`, `as taken`. */
export function exposureWords(stops) {
  return Math.abs(stops) < 0.02 ? "as taken" : `${stopsWords(stops)} ${stops > 0 ? "over" : "under"}`;
}

/** Return a dimmer, 0 to 1: `full`, `50 percent, one stop under full`, `off`. */
export function dimmerWords(dimmer) {
  if (dimmer <= 0) return "off";
  if (dimmer >= 1) return "full";
  return `${Math.round(1000 * dimmer) / 10} percent, ${stopsWords(Math.log2(dimmer))} under full`;
}

/** Return the white balance by the light itself as a camera is set to it: `near 3900 kelvin`; `kelvin` may be null. */
export function lightWhiteWords(kelvin) {
  return kelvin === null ? "on a grey card" : `near ${100 * Math.round(kelvin / 100)} kelvin`;
}

/** Return an illuminance to three digits, as meters show it. */
export function luxWords(lux) {
  return `${Number(lux.toPrecision(3))} lx`;
}

/** Return a colour temperature beside the one taken: `3200 kelvin, warmer`; `words` are for lower and for higher. */
export function kelvinWords(kelvin, taken, words) {
  const difference = Math.round(kelvin) - Math.round(taken);
  const beside = difference === 0 ? "as taken" : words[difference < 0 ? 0 : 1];
  return `${Math.round(kelvin)} kelvin, ${beside}`;
}
