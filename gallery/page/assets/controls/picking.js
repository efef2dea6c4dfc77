// Two frames picked for comparison.

import { byId } from "./elements.js";

/** Let the person pick two frames; a third takes the place of the first. */
export function startPicking(content) {
  const bar = byId("picked");
  const boxes = [...document.querySelectorAll("input[name=pick]")];
  let picked = [];
  const nameOf = (number) => content.frames[number - 1].name;
  const show = () => {
    for (const box of boxes) box.checked = picked.includes(Number(box.value));
    bar.hidden = picked.length === 0;
    const link = bar.querySelector("a");
    link.hidden = picked.length < 2;
    link.href = `#/compare/${picked.join("/")}`;
    bar.querySelector("p").textContent =
      picked.length === 1 ? `${nameOf(picked[0])} is picked. Pick one more.` : picked.map(nameOf).join(" and ");
  };
  for (const box of boxes) {
    box.addEventListener("change", () => {
      const number = Number(box.value);
      picked = box.checked ? [...picked, number].slice(-2) : picked.filter((other) => other !== number);
      show();
    });
  }
  bar.querySelector("button").addEventListener("click", () => {
    picked = [];
    show();
    byId("frames-heading").focus();
  });
  show();
}
