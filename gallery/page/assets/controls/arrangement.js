// What is on the screen as an arrangement: its text, on the clipboard or shown.

import { byId, element } from "./elements.js";

const DIGITS = 6;

/** Return the text of pieces; `values` gives of each slot that can have changed its value now and the one taken. */
export function filled(pieces, values) {
  return pieces
    .map((piece) => {
      if (typeof piece === "string") return piece;
      const [value, taken] = values[piece.slot]?.(piece.lamp) ?? [];
      return value === taken ? piece.initial : toml(value);
    })
    .join("");
}

/** Copy a text; where a browser refuses that of a file, show it selected. */
export async function copyOrShow(text) {
  const area = byId("arrangement-text");
  area.querySelector("textarea").value = text;
  try {
    await navigator.clipboard.writeText(text);
    byId("copied").textContent = "Copied.";
    area.hidden = true;
  } catch {
    area.hidden = false;
    area.querySelector("textarea").select();
    byId("copied").textContent = "This browser does not copy from a file: copy the selected text.";
  }
}

/** Save a text as a file of the person's. */
export function saveAs(name, text) {
  const link = element("a", { href: URL.createObjectURL(new Blob([text], { type: "application/toml" })), download: name });
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 60000); // a browser may ask where to first
}

/** Return a number of as many digits as an arrangement has. */
export function significant(value) {
  return Number(value.toPrecision(DIGITS));
}

function toml(value) {
  return JSON.stringify(typeof value === "number" ? significant(value) : value);
}
