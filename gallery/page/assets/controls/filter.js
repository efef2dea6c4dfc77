// Which of all frames are shown.

import { byId } from "./elements.js";

/** Let the person choose the setups and finishes that are shown. */
export function startFilter(content) {
  const form = byId("filter");
  const chosen = (name) => new Set([...form.querySelectorAll(`input[name=${name}]:checked`)].map((box) => box.value));
  const severalFinishes = form.querySelector("input[name=finish]") !== null;
  const apply = () => {
    const setups = chosen("setup");
    const finishes = chosen("finish");
    let shown = 0;
    for (const frame of content.frames) {
      const wanted = setups.has(frame.setup) && (!severalFinishes || finishes.has(frame.finish));
      byId(`frame-${frame.number}`).hidden = !wanted;
      shown += wanted;
    }
    const all = content.frames.length;
    byId("shown").textContent = shown === all ? `All ${all} frames are shown.` : `${shown} of ${all} frames are shown.`;
  };
  const tickAll = (name, ticked) => {
    for (const box of form.querySelectorAll(`input[name=${name}]`)) box.checked = ticked;
    apply();
  };
  for (const button of form.querySelectorAll("button")) {
    const { all, none } = button.dataset;
    button.addEventListener("click", () => tickAll(all ?? none, all !== undefined));
  }
  form.addEventListener("change", apply);
  form.addEventListener("submit", (event) => event.preventDefault());
  apply();
}
