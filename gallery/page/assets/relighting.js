// A frame under other dimmers, colour temperatures, exposure and white balance, drawn as they are moved.

import { copyOrShow, filled, saveAs } from "./arrangement.js";
import { byId, element } from "./elements.js";
import { RelitFrame } from "./relight.js";
import { Slider } from "./slider.js";
import { dimmerWords, exposureWords, kelvinWords } from "./words.js";

const MOST_STOPS = 3;
const THIRD = 1 / 3;
const WHITE_KELVINS = [2000, 10000];
const LIGHT_WORDS = ["warmer", "cooler"];
const WHITE_WORDS = ["bluer picture", "yellower picture"];

/** The view in which a frame is relit. */
export class Relighting {
  constructor(content) {
    this.content = content;
    this.select = byId("to-relight");
    this.canvas = byId("relit");
    this.states = new Map(); // of each frame that was relit
    this.select.addEventListener("change", () => {
      history.replaceState(null, "", `#/relight/${this.select.value}`);
      this.show(Number(this.select.value));
    });
    for (const form of document.querySelectorAll("#relight form")) {
      form.addEventListener("submit", (event) => event.preventDefault());
    }
    byId("as-taken").addEventListener("change", () => this.#draw());
    byId("reset").addEventListener("click", () => this.#reset());
    byId("copy").addEventListener("click", () => copyOrShow(this.#arrangement()));
    byId("save").addEventListener("click", () => saveAs(this.facts.again_name, this.#arrangement()));
  }

  /** Show a frame, as it was relit before. */
  async show(number = this.content.chosen) {
    this.content.chosen = number;
    this.select.value = number;
    this.facts = this.content.frames[number - 1];
    this.canvas.setAttribute("aria-label", this.facts.alternative_text);
    byId("to-set-up-relit").href = `#/set-up/${number}`;
    byId("arrangement-text").hidden = true;
    byId("copied").textContent = "";
    if (this.frameNumber !== number) {
      byId("light-controls").replaceChildren(element("p", { class: "soft" }, "Reading the light of each lamp."));
      this.frameNumber = number;
      this.frame = null;
      await this.#open(number);
    }
  }

  /** What differs from the frame as it was taken: `{key: "50 percent, one stop under full"}`, by the heading of its step. */
  differences(number) {
    return this.states.get(number)?.differences ?? {};
  }

  async #open(number) {
    try {
      const frame = await RelitFrame.open(this.facts.relight, this.content.relight);
      if (this.frameNumber !== number) return; // another was chosen meanwhile
      frame.state = this.states.get(number)?.state ?? structuredClone(frame.initial);
      this.frame = frame;
    } catch {
      const reason = "This browser changes the pixels that a page reads, perhaps against being recognized: another one relights.";
      byId("light-controls").replaceChildren(element("p", { class: "warning" }, reason));
      return;
    }
    this.#makeControls();
    this.#changed();
  }

  #makeControls() {
    const { lamps, initial, state } = this.frame;
    const groups = lamps.flatMap((lamp, i) => (lamp.role === "room" ? [] : [this.#lampControls(lamp, i)]));
    this.sliders = [];
    const controls = groups.map(({ heading, sliders }) => {
      this.sliders.push(...sliders);
      const rows = sliders.map(({ slider }) => slider.element);
      return element("fieldset", {}, element("legend", { dir: "auto" }, heading), ...rows);
    });
    const camera = this.#cameraControls(initial, state);
    byId("light-controls").replaceChildren(...controls, camera);
    this.#showState();
  }

  #lampControls({ role, name, dimmable, kelvinRange }, i) {
    const { initial, state } = this.frame;
    const sliders = [];
    if (dimmable) {
      const slider = new Slider({
        label: `${role}, dimmer`, unit: "%", least: 0, most: 100, step: 1, digits: 1,
        words: (percent) => dimmerWords(percent / 100),
        changed: (percent) => this.#set(() => (state.dimmers[i] = percent / 100)),
      });
      sliders.push({ slider, value: () => 100 * this.frame.state.dimmers[i] });
    }
    if (kelvinRange) {
      const slider = new Slider({
        label: `${role}, colour temperature`, unit: "K", least: kelvinRange[0], most: kelvinRange[1], step: 50,
        words: (kelvin) => kelvinWords(kelvin, initial.kelvins[i], LIGHT_WORDS),
        changed: (kelvin) => this.#set(() => (state.kelvins[i] = kelvin)),
      });
      sliders.push({ slider, value: () => this.frame.state.kelvins[i] });
    }
    const heading = `${role}: ${name}${sliders.length ? "" : ", which cannot be dimmed"}`;
    return { heading, sliders };
  }

  #cameraControls(initial, state) {
    const exposure = new Slider({
      label: "exposure", unit: "stops", least: -MOST_STOPS, most: MOST_STOPS, step: THIRD, digits: 2,
      words: (stops) => `${exposureWords(stops)}: ${this.#shutter(stops)}`,
      changed: (stops) => this.#set(() => (state.stops = stops)),
    });
    this.takenWhite = initial.whiteBalance === "auto" ? this.facts.white_kelvin : initial.whiteBalance;
    this.auto = element("input", { type: "checkbox" });
    const white = new Slider({
      label: "white balance", unit: "K", least: WHITE_KELVINS[0], most: WHITE_KELVINS[1], step: 50,
      words: (kelvin) => kelvinWords(kelvin, this.takenWhite, WHITE_WORDS),
      changed: (kelvin) => this.#set(() => (state.whiteBalance = kelvin)),
    });
    this.auto.addEventListener("change", () => {
      this.#set(() => (state.whiteBalance = this.auto.checked ? "auto" : white.value));
      this.#showState();
    });
    this.sliders.push({ slider: exposure, value: () => this.frame.state.stops });
    this.sliders.push({
      slider: white,
      value: () => (this.frame.state.whiteBalance === "auto" ? this.takenWhite : this.frame.state.whiteBalance),
    });
    const byLight = element("label", {}, this.auto, " white balance by the light itself (auto)");
    return element("fieldset", {}, element("legend", {}, "camera"), exposure.element, byLight, white.element);
  }

  #shutter(stops) {
    const names = this.facts.shutters;
    return names[Math.round(stops / THIRD) + (names.length - 1) / 2];
  }

  #set(change) {
    change();
    byId("as-taken").checked = false;
    this.auto.checked = this.frame.state.whiteBalance === "auto";
    this.#changed();
  }

  #reset() {
    if (!this.frame) return;
    Object.assign(this.frame.state, structuredClone(this.frame.initial));
    this.#showState();
    this.#changed();
  }

  #showState() {
    for (const { slider, value } of this.sliders) slider.show(value());
    this.auto.checked = this.frame.state.whiteBalance === "auto";
  }

  #changed() {
    const { state } = this.frame;
    this.states.set(this.frameNumber, { state, differences: this.#differences() });
    byId("copied").textContent = "";
    this.#draw();
  }

  #differences() {
    const { lamps, initial, state } = this.frame;
    const found = {};
    lamps.forEach(({ role }, i) => {
      const words = [];
      if (state.dimmers[i] !== initial.dimmers[i]) words.push(dimmerWords(state.dimmers[i]));
      if (state.kelvins[i] !== initial.kelvins[i]) words.push(`${Math.round(state.kelvins[i])} kelvin`);
      if (words.length) found[role] = words.join(", ");
    });
    const camera = [];
    if (state.stops !== initial.stops) camera.push(this.#shutter(state.stops));
    if (state.whiteBalance !== initial.whiteBalance) {
      const white = state.whiteBalance === "auto" ? "auto" : `${Math.round(state.whiteBalance)} kelvin`;
      camera.push(`white balance ${white}`);
    }
    if (camera.length) found[this.content.exposure_step] = camera.join(", ");
    return found;
  }

  /** Draw the frame before the screen is next painted, once however often it was changed. */
  #draw() {
    if (!this.frame || this.isWaiting) return;
    this.isWaiting = true;
    requestAnimationFrame(() => {
      this.isWaiting = false;
      const { frame } = this;
      if (!frame) return; // another was chosen meanwhile
      const state = frame.state;
      if (byId("as-taken").checked) frame.state = frame.initial;
      frame.draw(this.canvas);
      frame.state = state;
    });
  }

  #arrangement() {
    if (!this.frame) return filled(this.facts.again, {});
    const { state, initial } = this.frame;
    return filled(this.facts.again, {
      dimmer: (lamp) => [state.dimmers[lamp], initial.dimmers[lamp]],
      kelvin: (lamp) => [state.kelvins[lamp], initial.kelvins[lamp]],
      shutter_s: () => [this.facts.shutter_s * 2 ** state.stops, this.facts.shutter_s],
      white_balance: () => [state.whiteBalance, initial.whiteBalance],
    });
  }

}
