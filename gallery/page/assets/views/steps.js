// A setup as steps in large type, with ticks that stay.

import { byId, element, showStill } from "../controls/elements.js";

const NUMBER = /(\d+(?:[./]\d+)?)/;

/** Return a line in parts, its numbers as elements: they are what is read from afar. */
function withNumbers(line) {
  return line.split(NUMBER).map((part, i) => (i % 2 ? element("span", { class: "number" }, part) : part));
}

/** The view that leads through the steps of a frame. */
export class Steps {
  constructor(content, keeper, relighting) {
    this.relighting = relighting;
    this.content = content;
    this.keeper = keeper;
    this.select = byId("to-set-up");
    this.list = byId("steps");
    this.current = 0;
    this.select.addEventListener("change", () => {
      history.replaceState(null, "", `#/set-up/${this.select.value}`);
      this.show(Number(this.select.value));
    });
    for (const radio of document.querySelectorAll("input[name=steps]")) {
      radio.addEventListener("change", () => this.#draw());
    }
    for (const form of document.querySelectorAll("#set-up form")) {
      form.addEventListener("submit", (event) => event.preventDefault());
    }
    byId("step-back").addEventListener("click", () => this.#turnTo(this.current - 1));
    byId("step-done").addEventListener("click", () => {
      this.#boxes[this.current].checked = true;
      this.#keep();
      this.#turnTo(this.current + 1);
    });
    byId("steps-anew").addEventListener("click", () => {
      for (const box of this.#boxes) box.checked = false;
      this.#keep();
      this.#turnTo(0);
    });
    byId("dim").addEventListener("change", () => this.dim());
    byId("not-kept").hidden = keeper.lasts;
  }

  /** Show the steps of a frame, from the first that is not ticked, with what was changed where it was relit. */
  show(number = this.content.chosen) {
    this.content.chosen = number;
    this.frame = this.content.frames[number - 1];
    this.select.value = number;
    byId("set-up-heading").textContent = `Set it up: ${this.frame.name}`;
    const ticked = new Set(JSON.parse(this.keeper.read(this.#name) ?? "[]"));
    const relit = this.relighting.differences(number);
    this.list.replaceChildren(...this.frame.steps.map((step, i) => this.#item(step, ticked.has(i), relit[step.heading])));
    this.#showGoal(number);
    const open = this.#boxes.findIndex((box) => !box.checked);
    this.current = open < 0 ? this.#boxes.length - 1 : open;
    this.#draw();
  }

  /** Show what the picture should look like: as taken until it is drawn as relit. */
  async #showGoal(number) {
    const image = byId("goal").querySelector("img");
    showStill(image, this.frame);
    const caption = byId("goal").querySelector("figcaption");
    caption.textContent = "";
    const relit = await this.relighting.picture(number);
    if (!relit || this.frame.number !== number) return; // another was chosen meanwhile
    image.src = relit;
    image.alt = this.relighting.description(number);
    caption.textContent = "As relit here.";
  }

  /** Darken the page while the steps are shown, if that is wanted. */
  dim() {
    document.documentElement.classList.toggle("dim", byId("dim").checked && !byId("set-up").hidden);
  }

  /** What the ticks are kept under: another placement has ticks of its own. */
  get #name() {
    return `ticks ${JSON.stringify([this.frame.name, this.frame.steps])}`;
  }

  get #boxes() {
    return [...this.list.querySelectorAll("input")];
  }

  #item(step, isTicked, relit) {
    const box = element("input", { type: "checkbox" });
    box.checked = isTicked;
    box.addEventListener("change", () => {
      this.#keep();
      this.#draw();
    });
    const lines = step.lines.map((line) => element("li", { dir: "auto" }, ...withNumbers(line)));
    if (relit) lines.push(element("li", { class: "warning" }, `relit here: ${relit}`));
    return element("li", {}, element("label", { dir: "auto" }, box, ` ${step.heading}`), element("ul", {}, ...lines));
  }

  #keep() {
    const ticked = this.#boxes.flatMap((box, i) => (box.checked ? [i] : []));
    this.keeper.write(this.#name, JSON.stringify(ticked));
  }

  #turnTo(step) {
    this.current = Math.min(this.#boxes.length - 1, Math.max(0, step));
    this.#draw();
  }

  #draw() {
    const one = document.querySelector("input[name=steps]:checked").value === "one";
    const boxes = this.#boxes;
    this.list.classList.toggle("one", one);
    [...this.list.children].forEach((item, i) => (item.hidden = one && i !== this.current));
    byId("turning").hidden = !one;
    byId("goal").hidden = one && this.current < boxes.length - 1;
    byId("step-done").textContent = this.current < boxes.length - 1 ? "Done, next step" : "Done";
    byId("step-back").disabled = this.current === 0;
    const done = boxes.filter((box) => box.checked).length;
    const where = one ? `Step ${this.current + 1} of ${boxes.length}: ${this.frame.steps[this.current].heading}. ` : "";
    byId("step-count").textContent = `${where}${done} of ${boxes.length} done.`;
  }
}
