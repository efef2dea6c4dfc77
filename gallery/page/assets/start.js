// What runs when the page is open.

import { startAppearance } from "./appearance.js";
import { Comparison } from "./compare.js";
import { byId } from "./elements.js";
import { startFilter } from "./filter.js";
import { startPicking } from "./picking.js";
import { startPrinting } from "./printing.js";
import { Steps } from "./steps.js";
import { KeptValues } from "./storage.js";
import { startViews } from "./views.js";

const content = JSON.parse(byId("content").textContent);
const keeper = new KeptValues("spruelight ");
for (const part of document.querySelectorAll(".needs-script")) part.hidden = false;
startAppearance(keeper);
startFilter(content);
startPicking(content);
const comparison = new Comparison(content);
const steps = new Steps(content, keeper);
startViews(content, {
  frames: () => steps.dim(),
  compare: (first, second) => {
    steps.dim();
    if (second) comparison.show(first, second);
  },
  "set-up": (number) => {
    if (number) steps.show(number);
    steps.dim();
  },
});
startPrinting();
