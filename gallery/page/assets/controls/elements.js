// Elements of the document: what comes from files becomes text, never markup.

/** Return an element with attributes and children; strings among them become text. */
export function element(tag, attributes = {}, ...children) {
  const made = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) made.setAttribute(name, value);
  made.append(...children);
  return made;
}

/** Return the element of this id. */
export function byId(id) {
  return document.getElementById(id);
}

/** Return the picture of a frame that the page shows under all frames. */
export function stillOf(frame) {
  return document.querySelector(`#frame-${frame.number} img`);
}

/** Show the picture of a frame in another place. */
export function showStill(image, frame) {
  const still = stillOf(frame);
  image.src = still.src;
  image.alt = still.alt;
  image.width = still.width;
  image.height = still.height;
}
