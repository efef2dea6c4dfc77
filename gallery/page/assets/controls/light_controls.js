// The controls of a frame that is relit: of each lamp its dimmer and colour temperature, of the camera exposure and
// white balance.

import { element } from "./elements.js";
import { Slider } from "./slider.js";
import { dimmerWords, exposureWords, kelvinWords, lightWhiteWords } from "./words.js";

const MOST_STOPS = 3;
const THIRD = 1 / 3;
const WHITE_KELVINS = [2000, 10000];
const LIGHT_WORDS = ["warmer", "cooler"];
const WHITE_WORDS = ["bluer picture", "yellower picture"];

/** Return the shutter time of a frame so many stops from that taken: `1/60 s`. */
export function shutterName(facts, stops) {
  return facts.shutters[Math.round(stops / THIRD) + (facts.shutters.length - 1) / 2];
}

/** Sliders that set the state of a RelitFrame; `facts` are those of the frame, `changed` is called after each change. */
export class LightControls {
  constructor(frame, facts, changed) {
    Object.assign(this, { frame, facts, changed });
    this.sliders = []; // each with the value that it shows
    const lamps = frame.lamps.flatMap((lamp, i) => (lamp.role === "room" ? [] : [this.#lamp(lamp, i)]));
    this.elements = [...lamps, this.#camera()];
    this.show();
  }

  /** Show the state of the frame. */
  show() {
    for (const { slider, value } of this.sliders) slider.show(value());
    this.auto.checked = this.frame.state.whiteBalance === "auto";
  }

  #lamp({ role, name, dimmable, kelvinRange }, i) {
    const { initial, state } = this.frame;
    const rows = [];
    if (dimmable) {
      rows.push(
        this.#slider(() => 100 * state.dimmers[i], {
          label: `${role}, dimmer`, unit: "%", least: 0, most: 100, step: 1, digits: 1,
          words: (percent) => dimmerWords(percent / 100),
          changed: (percent) => this.#set(() => (state.dimmers[i] = percent / 100)),
        }),
      );
    }
    if (kelvinRange) {
      rows.push(
        this.#slider(() => state.kelvins[i], {
          label: `${role}, colour temperature`, unit: "K", least: kelvinRange[0], most: kelvinRange[1], step: 50,
          words: (kelvin) => kelvinWords(kelvin, initial.kelvins[i], LIGHT_WORDS),
          changed: (kelvin) => this.#set(() => (state.kelvins[i] = kelvin)),
        }),
      );
    }
    const heading = `${role}: ${name}${dimmable ? "" : ", which cannot be dimmed"}`;
    return element("fieldset", {}, element("legend", { dir: "auto" }, heading), ...rows);
  }

  #camera() {
    const { initial, state } = this.frame;
    const taken = initial.whiteBalance === "auto" ? this.facts.white_kelvin : initial.whiteBalance;
    const lightKelvin = () => this.frame.lightKelvin(state);
    const whiteKelvin = () => (state.whiteBalance === "auto" ? (lightKelvin() ?? taken) : state.whiteBalance);
    this.auto = element("input", { type: "checkbox" });
    const exposure = this.#slider(() => state.stops, {
      label: "exposure", unit: "stops", least: -MOST_STOPS, most: MOST_STOPS, step: THIRD, digits: 2,
      words: (stops) => `${exposureWords(stops)}: ${shutterName(this.facts, stops)}`, inSteps: true,
      changed: (stops) => this.#set(() => (state.stops = stops)),
    });
    const white = this.#slider(whiteKelvin, {
      label: "white balance", unit: "K", least: WHITE_KELVINS[0], most: WHITE_KELVINS[1], step: 50,
      words: (kelvin) =>
        state.whiteBalance === "auto"
          ? `by the light: ${lightWhiteWords(lightKelvin())}`
          : kelvinWords(kelvin, taken, WHITE_WORDS),
      changed: (kelvin) => this.#set(() => (state.whiteBalance = kelvin)),
    });
    this.auto.addEventListener("change", () => {
      this.#set(() => (state.whiteBalance = this.auto.checked ? "auto" : Math.round(whiteKelvin())));
    });
    const byLight = element("label", {}, this.auto, " white balance by the light itself (auto)");
    this.white = this.sliders.at(-1); // which the lamps move too
    return element("fieldset", {}, element("legend", {}, "camera"), exposure, byLight, white);
  }

  #slider(value, settings) {
    const slider = new Slider(settings);
    this.sliders.push({ slider, value });
    return slider.element;
  }

  #set(change) {
    change();
    this.auto.checked = this.frame.state.whiteBalance === "auto";
    this.white.slider.show(this.white.value());
    this.changed();
  }
}
