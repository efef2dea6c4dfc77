// A frame under other dimmers, colour temperatures, exposure and white balance, drawn as they are moved.

import { copyOrShow, filled, saveAs, significant } from "../controls/arrangement.js";
import { byId, element, stillOf } from "../controls/elements.js";
import { LightControls, shutterName } from "../controls/light_controls.js";
import { RelitFrame } from "../light/relight.js";
import { dimmerWords, lightWhiteWords, luxWords } from "../controls/words.js";

const ALTERED =
  "This browser changes the pixels that a page reads, so that nobody is recognized by them: another browser relights.";

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
    for (const name of document.querySelectorAll(".again-name")) name.textContent = this.facts.again_name;
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

  /** Return a frame as it was relit, as the address of a picture; null where it is as taken, or cannot be relit. */
  async picture(number) {
    if (!Object.keys(this.differences(number)).length) return null;
    const shown = this.frameNumber === number && this.frame;
    try {
      const frame = shown || (await RelitFrame.open(this.content.frames[number - 1].relight, this.content.relight));
      const { state } = frame;
      frame.state = this.states.get(number).state;
      const canvas = document.createElement("canvas");
      frame.draw(canvas);
      frame.state = state;
      return canvas.toDataURL();
    } catch {
      return null;
    }
  }

  async #open(number) {
    try {
      const frame = await RelitFrame.open(this.facts.relight, this.content.relight);
      if (this.frameNumber !== number) return; // another was chosen meanwhile
      frame.state = this.states.get(number)?.state ?? structuredClone(frame.initial);
      this.frame = frame;
    } catch {
      byId("light-controls").replaceChildren(element("p", { class: "warning" }, ALTERED));
      this.#drawStill();
      return;
    }
    this.controls = new LightControls(this.frame, this.facts, () => this.#changed());
    byId("light-controls").replaceChildren(...this.controls.elements);
    this.#changed();
  }

  #reset() {
    if (!this.frame) return;
    Object.assign(this.frame.state, structuredClone(this.frame.initial));
    this.controls.show();
    this.#changed();
  }

  #changed() {
    const { state } = this.frame;
    this.states.set(this.frameNumber, { state, differences: this.#differences() });
    byId("as-taken").checked = false;
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
    const meter = this.facts.full_lux.flatMap((lux, i) => {
      if (state.dimmers[i] === initial.dimmers[i]) return [];
      return [`${i + 1} ${lamps[i].role} ${state.dimmers[i] ? luxWords(lux * state.dimmers[i]) : "off"}`];
    });
    if (meter.length) found[this.content.meter_step] = meter.join(", ");
    const camera = [];
    if (state.stops !== initial.stops) camera.push(shutterName(this.facts, state.stops));
    const white = this.#whiteWords(state);
    if (white !== this.#whiteWords(initial)) camera.push(`white balance ${white}`);
    if (camera.length) found[this.content.exposure_step] = camera.join(", ");
    return found;
  }

  #whiteWords(state) {
    if (state.whiteBalance === "auto") return lightWhiteWords(this.frame.lightKelvin(state));
    return `${Math.round(state.whiteBalance)} kelvin`;
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
      const isTaken = byId("as-taken").checked;
      this.canvas.setAttribute("aria-label", isTaken ? this.facts.alternative_text : this.description(this.frameNumber));
    });
  }

  /** Return what the picture of a frame shows in words: what was taken, and what was changed since. */
  description(number) {
    const changes = Object.entries(this.differences(number)).filter(([what]) => what !== this.content.meter_step);
    const taken = this.content.frames[number - 1].alternative_text;
    if (!changes.length) return taken;
    return `${taken} Relit since: ${changes.map(([what, words]) => `${what} ${words}`).join("; ")}.`;
  }

  /** Draw the frame as it was taken. */
  #drawStill() {
    const still = stillOf(this.facts);
    Object.assign(this.canvas, { width: still.naturalWidth, height: still.naturalHeight });
    this.canvas.getContext("2d").drawImage(still, 0, 0);
  }

  #arrangement() {
    if (!this.frame) return filled(this.facts.again, {});
    const { state, initial } = this.frame;
    return filled(this.facts.again, {
      dimmer: (lamp) => [state.dimmers[lamp], initial.dimmers[lamp]],
      kelvin: (lamp) => [state.kelvins[lamp], initial.kelvins[lamp]],
      shutter_s: () => [this.facts.shutter_s * 2 ** state.stops, this.facts.shutter_s],
      white_balance: () => this.#keptWhite(),
    });
  }

  /** Return the white balance now and the one taken; where that is another finish's, as a chromaticity, it stays one. */
  #keptWhite() {
    const { state, initial } = this.frame;
    const isChromaticity = this.facts.again.some(({ slot, initial: text }) => slot === "white_balance" && text[0] === "[");
    if (!isChromaticity || state.whiteBalance !== "auto") return [state.whiteBalance, initial.whiteBalance];
    const [now, taken] = [state, initial].map((each) => this.frame.lightChromaticity(each));
    return now.every((value, i) => value === taken[i]) ? ["auto", "auto"] : [now.map(significant), "auto"];
  }
}
