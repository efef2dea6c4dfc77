// What the browser keeps for this page: ticks and the appearance. Some browsers keep nothing for a file.

/** Values by name, kept in the browser's local storage, or in memory where that is refused. */
export class KeptValues {
  constructor(prefix) {
    this.prefix = prefix;
    this.inMemory = new Map();
    this.lasts = this.#tried();
  }

  /** Return the value of a name, or null. */
  read(name) {
    return this.lasts ? localStorage.getItem(this.prefix + name) : (this.inMemory.get(name) ?? null);
  }

  /** Keep a value. */
  write(name, value) {
    if (this.lasts) localStorage.setItem(this.prefix + name, value);
    else this.inMemory.set(name, value);
  }

  #tried() {
    try {
      localStorage.setItem(this.prefix, "");
      localStorage.removeItem(this.prefix);
      return true;
    } catch {
      return false;
    }
  }
}
