// Two frames side by side or as a wipe, with the readings and places of both.

import { byId, element, showStill } from "../controls/elements.js";
import { Slider } from "../controls/slider.js";

/** The view that compares two frames. */
export class Comparison {
  constructor(content) {
    this.frames = content.frames;
    this.section = byId("compare");
    this.selects = [byId("first"), byId("second")];
    this.stage = byId("pair");
    this.wipe = new Slider({
      label: "Wipe", unit: "%", least: 0, most: 100, step: 1,
      words: (percent) => this.#shares(percent), changed: () => this.#drawSeam(),
    });
    byId("wipe-control").append(this.wipe.element);
    for (const select of this.selects) select.addEventListener("change", () => this.#choose());
    byId("swap").addEventListener("click", () => {
      const [first, second] = this.selects;
      [first.value, second.value] = [second.value, first.value];
      this.#choose();
    });
    for (const radio of this.section.querySelectorAll("input[name=showing]")) {
      radio.addEventListener("change", () => this.#drawPair());
    }
    this.section.querySelector("form").addEventListener("submit", (event) => event.preventDefault());
    this.#followPointer();
    this.show(this.frames[0].number, this.frames[Math.min(1, this.frames.length - 1)].number);
  }

  /** Show the frames of two numbers. */
  show(first, second) {
    [first, second].forEach((number, i) => (this.selects[i].value = number));
    this.#draw();
  }

  #choose() {
    const [first, second] = this.selects.map((select) => select.value);
    history.replaceState(null, "", `#/compare/${first}/${second}`);
    this.#draw();
  }

  get #pair() {
    return this.selects.map((select) => this.frames[select.value - 1]);
  }

  #draw() {
    const pair = this.#pair;
    const figures = this.stage.querySelectorAll("figure");
    const heads = this.section.querySelectorAll("thead th[dir]");
    const places = this.section.querySelectorAll(".placement");
    pair.forEach((frame, i) => {
      showStill(figures[i].querySelector("img"), frame);
      figures[i].querySelector("figcaption").textContent = frame.name;
      heads[i].textContent = frame.name;
      this.#drawPlaces(places[i], frame);
    });
    const rows = pair[0].readings.map(([label, value], row) =>
      element(
        "tr", {},
        element("th", { scope: "row" }, label), element("td", {}, value), element("td", {}, pair[1].readings[row][1]),
      ),
    );
    this.section.querySelector("tbody").replaceChildren(...rows);
    this.#drawPair();
  }

  #drawPlaces(place, frame) {
    place.querySelector("h4").textContent = frame.name;
    place.querySelector("ul").replaceChildren(...frame.placement.map((line) => element("li", { dir: "auto" }, line)));
    const [relight, setUp] = place.querySelectorAll("a");
    relight.textContent = `Relight ${frame.name}`;
    relight.href = `#/relight/${frame.number}`;
    setUp.textContent = `Set it up: ${frame.name}`;
    setUp.href = `#/set-up/${frame.number}`;
  }

  #drawPair() {
    const asWipe = this.section.querySelector("input[name=showing]:checked").value === "wipe";
    this.stage.classList.toggle("as-wipe", asWipe);
    byId("wipe-control").hidden = !asWipe;
    this.wipe.show(this.wipe.value ?? 50);
    this.#drawSeam();
  }

  #drawSeam() {
    this.stage.style.setProperty("--seam", `${this.wipe.value}%`);
  }

  #shares(percent) {
    const [first, second] = this.#pair;
    return `${percent} % ${first.name}, ${100 - percent} % ${second.name}`;
  }

  /** Move the seam with a pointer that is pressed on the pictures; a finger may still scroll up and down. */
  #followPointer() {
    const follow = (event) => {
      const box = this.stage.getBoundingClientRect();
      const share = (event.clientX - box.left) / box.width;
      this.wipe.show(Math.round(100 * Math.min(1, Math.max(0, share))));
      this.#drawSeam();
    };
    this.stage.addEventListener("pointerdown", (event) => {
      if (!this.stage.classList.contains("as-wipe")) return;
      this.stage.setPointerCapture(event.pointerId);
      follow(event);
    });
    this.stage.addEventListener("pointermove", (event) => {
      if (this.stage.hasPointerCapture(event.pointerId)) follow(event);
    });
  }
}
