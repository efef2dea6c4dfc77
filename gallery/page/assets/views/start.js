// What runs when the page is open.

import { startAppearance } from "./appearance.js";
import { Comparison } from "./compare.js";
import { byId } from "../controls/elements.js";
import { startFilter } from "../controls/filter.js";
import { startPicking } from "../controls/picking.js";
import { startPrinting } from "./printing.js";
import { Relighting } from "./relighting.js";
import { Steps } from "./steps.js";
import { KeptValues } from "../controls/storage.js";
import { startViews } from "./views.js";
import { startWakeLock } from "./wake_lock.js";

const content = JSON.parse(byId("content").textContent);
content.chosen = 1; // the frame that is relit or set up
const keeper = new KeptValues("spruelight ");
for (const part of document.querySelectorAll(".needs-script")) part.hidden = false;
startAppearance(keeper);
startFilter(content);
startPicking(content);
const comparison = new Comparison(content);
const relighting = new Relighting(content);
const steps = new Steps(content, keeper, relighting);
startViews(content, {
  frames: () => steps.dim(),
  compare: (first, second) => {
    steps.dim();
    if (second) comparison.show(first, second);
  },
  relight: (number) => {
    steps.dim();
    relighting.show(number);
  },
  "set-up": (number) => {
    steps.show(number);
    steps.dim();
  },
});
startPrinting();
startWakeLock();
