// One view at a time, by the address: #/frames, #/compare/1/2, #/set-up/3.

import { byId } from "../controls/elements.js";

/** Show the view that the address names, now and when it changes; `views` maps names to what they do on being shown. */
export function startViews(content, views) {
  const follow = (isFirst) => {
    const [name, ...numbers] = location.hash.replace(/^#\/?/, "").split("/");
    if (location.hash && !(name in views)) return; // a place within the view
    const known = numbers.map(Number).filter((number) => content.frames[number - 1] !== undefined);
    show(location.hash ? name : "frames", known, isFirst);
  };
  const show = (name, numbers, isFirst) => {
    for (const section of document.querySelectorAll("main > section")) section.hidden = section.id !== name;
    for (const link of document.querySelectorAll("nav a")) {
      if (link.dataset.view === name) link.setAttribute("aria-current", "page");
      else link.removeAttribute("aria-current");
    }
    document.documentElement.dataset.view = name;
    const heading = byId(`${name}-heading`);
    views[name](...numbers);
    document.title = name === "frames" ? content.title : `${heading.textContent}: ${content.title}`;
    if (!isFirst) {
      scrollTo(0, 0);
      heading.focus({ preventScroll: true });
    }
  };
  addEventListener("hashchange", () => follow(false));
  follow(true);
}
