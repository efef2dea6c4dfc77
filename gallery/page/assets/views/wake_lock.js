// A screen that stays on while both hands are at the lamps, where the browser can do that.

import { byId } from "../controls/elements.js";

/** Let the person keep the screen on; the lock ends when the page is left, and is asked for again when it is back. */
export function startWakeLock() {
  const box = byId("awake");
  if (!navigator.wakeLock) return;
  byId("awake-label").hidden = false;
  let lock = null;
  const apply = async () => {
    await lock?.release();
    lock = null;
    if (!box.checked || document.hidden) return;
    try {
      lock = await navigator.wakeLock.request("screen");
    } catch {
      box.checked = false; // refused, as when the battery is low
    }
  };
  box.addEventListener("change", apply);
  document.addEventListener("visibilitychange", apply);
}
