// A frame relit: its light is the sum of its lamps' pictures, so dimmers, colour temperatures, exposure and white
// balance are arithmetic on them.

import { ditherThresholds, encodeDithered } from "./dithering.js";
import { addLight, decodeLayer } from "./lamp_light.js";
import { colourAt, correlatedKelvin, mixedWhite, scaledMatrix, whiteToSrgb } from "./white_balance.js";

/**
 * A frame and its state: `dimmers` 0 to 1 and `kelvins` (null of a lamp that keeps its own) for each of its `lamps`,
 * `stops` from the exposure taken, `whiteBalance` in kelvin or "auto". `initial` is the state as taken.
 */
export class RelitFrame {
  #facts;
  #shared;
  #layers;
  #thresholds;
  #others; // XYZ of all lamps but the one that moves
  #moving = 0;
  #summed = []; // what each lamp was set to

  /** Open a frame by its facts and what all frames of the page share; throws an Error as `decodeLayer` does. */
  static async open(facts, shared) {
    const layers = facts.lamps.map((lamp) => lamp.layers.map((number) => decodeLayer(shared.layers[number])));
    return new RelitFrame(facts, shared, await Promise.all(layers.map((own) => Promise.all(own))));
  }

  constructor(facts, shared, layers) {
    this.width = facts.width;
    this.height = facts.height;
    this.lamps = facts.lamps.map(({ role, name, dimmable, kelvinRange }) => ({ role, name, dimmable, kelvinRange }));
    this.initial = {
      dimmers: facts.lamps.map((lamp) => lamp.dimmer),
      kelvins: facts.lamps.map((lamp) => lamp.kelvin),
      stops: 0,
      whiteBalance: facts.whiteBalance,
    };
    this.state = structuredClone(this.initial);
    this.#facts = facts;
    this.#shared = shared;
    this.#layers = layers;
    this.#thresholds = ditherThresholds(facts.width, facts.height);
    this.#others = new Float32Array(3 * facts.width * facts.height);
  }

  /** Draw the frame in its state on a canvas, which takes its size. */
  draw(canvas) {
    const size = [this.width, this.height];
    if (canvas.width !== size[0] || canvas.height !== size[1]) [canvas.width, canvas.height] = size;
    canvas.getContext("2d").putImageData(new ImageData(this.pixels(), ...size), 0, 0);
  }

  /** Return the RGBA bytes of the frame in its state. */
  pixels() {
    const colours = this.#colours(this.state.kelvins);
    this.#sumOthers(colours);
    const light = this.#others.slice();
    this.#add(light, this.#moving, colours);
    const toSrgb = scaledMatrix(whiteToSrgb(this.#white(colours), this.#shared), 2 ** this.state.stops);
    return encodeDithered(light, toSrgb, this.#thresholds);
  }

  /** Return the CIE 1931 chromaticity (x, y) of the light itself in a state. */
  lightChromaticity({ kelvins, dimmers }) {
    const white = this.#lightWhite(this.#colours(kelvins), dimmers);
    const sum = white.reduce((a, b) => a + b);
    return white.slice(0, 2).map((value) => value / sum);
  }

  /** Return the colour temperature of the light itself in a state; null in coloured light. */
  lightKelvin({ kelvins, dimmers }) {
    return correlatedKelvin(this.#lightWhite(this.#colours(kelvins), dimmers), this.#shared.blackbodies);
  }

  /** Sum all lamps but one, unless that one alone has changed since. */
  #sumOthers(colours) {
    const lamps = colours.map((_, lamp) => `${this.state.dimmers[lamp]} at ${this.state.kelvins[lamp]}`);
    const changed = lamps.findIndex((lamp, i) => i !== this.#moving && lamp !== this.#summed[i]);
    const isFirst = this.#summed.length === 0;
    this.#summed = lamps;
    if (changed < 0 && !isFirst) return;
    this.#moving = Math.max(changed, 0);
    this.#others.fill(0);
    for (const lamp of lamps.keys()) if (lamp !== this.#moving) this.#add(this.#others, lamp, colours);
  }

  #add(light, lamp, colours) {
    const matrix = scaledMatrix(colours[lamp].toXyz, this.state.dimmers[lamp]);
    addLight(light, this.#layers[lamp], matrix, this.#shared);
  }

  #colours(kelvins) {
    return this.#facts.lamps.map((lamp, i) => colourAt(lamp.colours, kelvins[i]));
  }

  /** Return the XYZ that is rendered neutral. */
  #white(colours) {
    const { whiteBalance, dimmers } = this.state;
    if (whiteBalance === "auto") return this.#lightWhite(colours, dimmers);
    return colourAt(this.#shared.blackbodies, whiteBalance).white;
  }

  /** Return the XYZ of the light itself: it differs from that taken as the lamps' mixture does. */
  #lightWhite(colours, dimmers) {
    const mixture = mixedWhite(colours, dimmers);
    const { automaticWhite } = this.#facts;
    if (!automaticWhite) return mixture;
    const initial = mixedWhite(this.#colours(this.initial.kelvins), this.initial.dimmers);
    return automaticWhite.map((value, i) => (value * mixture[i]) / initial[i]);
  }
}
