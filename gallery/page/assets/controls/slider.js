// A quantity that is set by a slider, a number field, or buttons for one step up and down.

import { element } from "./elements.js";

/**
 * A labelled slider with a number field and two buttons.
 *
 * `words(value)` says a value, on the page and to a screen reader; `changed(value)` hears of one that the person sets.
 * The slider and the buttons go by `step`, and what is typed where all values are `inSteps`; else that, as what is shown
 * by `show`, stays as it is.
 */
export class Slider {
  constructor({ label, unit, least, most, step, digits = 0, inSteps = false, words, changed }) {
    Object.assign(this, { least, most, step, digits, inSteps, words, changed });
    const range = { type: "range", min: Math.round(least / step), max: Math.round(most / step), step: 1 };
    this.range = element("input", { ...range, "aria-label": label });
    const number = { type: "number", min: least, max: most, step: "any", inputmode: "decimal" };
    this.number = element("input", { ...number, "aria-label": `${label}, in ${unit}` });
    this.less = element("button", { type: "button", "aria-label": `${label}: less` }, "−");
    this.more = element("button", { type: "button", "aria-label": `${label}: more` }, "+");
    this.said = element("span", { class: "soft" });
    this.element = element(
      "div",
      { class: "slider", role: "group", "aria-label": label },
      element("div", { class: "heading" }, element("span", { class: "label" }, label), this.said),
      this.less, this.range, this.more,
      element("span", { class: "field" }, this.number, ` ${unit}`),
    );
    this.range.addEventListener("input", () => this.#set(this.range.valueAsNumber * step));
    this.less.addEventListener("click", () => this.#set(this.#beside(-1)));
    this.more.addEventListener("click", () => this.#set(this.#beside(1)));
    this.number.addEventListener("change", () => this.#typed());
  }

  /** Show a value. */
  show(value) {
    this.value = value;
    this.range.value = Math.round(value / this.step);
    this.range.setAttribute("aria-valuetext", this.words(value));
    this.number.value = Number(value.toFixed(this.digits));
    this.said.textContent = this.words(value);
  }

  /** Return the next value of a whole number of steps, up or down. */
  #beside(direction) {
    const position = this.value / this.step;
    const near = 1e-6;
    const next = direction > 0 ? Math.floor(position + near) + 1 : Math.ceil(position - near) - 1;
    return next * this.step;
  }

  #typed() {
    const value = this.number.valueAsNumber;
    if (Number.isFinite(value)) this.#set(this.inSteps ? Math.round(value / this.step) * this.step : value);
    else this.show(this.value);
  }

  #set(value) {
    this.show(Math.min(this.most, Math.max(this.least, value)));
    this.changed(this.value);
  }
}
