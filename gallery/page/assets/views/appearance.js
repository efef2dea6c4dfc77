// Light or dark: as the device has it, or as the person chooses.

import { byId } from "../controls/elements.js";

/** Let the person choose the appearance, which is kept. */
export function startAppearance(keeper) {
  const select = byId("appearance");
  const apply = () => {
    if (select.value) document.documentElement.dataset.appearance = select.value;
    else delete document.documentElement.dataset.appearance;
  };
  select.value = keeper.read("appearance") ?? "";
  select.addEventListener("change", () => {
    keeper.write("appearance", select.value);
    apply();
  });
  apply();
}
