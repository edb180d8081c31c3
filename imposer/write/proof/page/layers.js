// Ink layers: packed in the page as base64, unpacked when they are looked at, dropped when there are too many.

const Layers = {
  // All inks of a page, in the order of the page's `inks`; null for a page that prints nothing.
  async bitmaps(page) {
    const elements = await Layers.elements(page);
    return Promise.all(elements.map(Layers.unpack));
  },

  // The page's elements, once the browser has read that far.
  async elements(page) {
    const ids = page.inks.map((ink) => `layer-${page.page}-${ink}`);
    const isRead = (id) => document.getElementById(id)?.nextElementSibling || document.readyState !== "loading";
    if (!ids.every(isRead)) {
      await new Promise((resolve) => document.addEventListener("DOMContentLoaded", resolve, { once: true }));
    }
    return ids.map((id) => document.getElementById(id));
  },

  unpack(element) {
    const text = atob(element.textContent);
    const bytes = new Uint8Array(text.length);
    for (let i = 0; i < bytes.length; i += 1) bytes[i] = text.charCodeAt(i);
    const picture = new Blob([bytes], { type: element.type });
    return createImageBitmap(picture, { colorSpaceConversion: "none", premultiplyAlpha: "none" });
  },

  solids(page, ink) {
    return JSON.parse(document.getElementById(`layer-${page.page}-${ink}`)?.dataset.solids ?? "[]");
  },

  ppi(page) {
    const element = document.getElementById(`layer-${page.page}-${page.inks[0]}`);
    return element ? Number(element.dataset.ppi) : 0;
  },
};

// Planes of tones in the painter's form, the least recently used given back first.
class PlaneStore {
  constructor(painter, room) {
    this.painter = painter;
    this.room = room;
    this.kept = new Map();
    this.loading = new Map();
  }

  // The planes under a key if they are there; else null, and `make` is set to work and `then` called once.
  get(key, make, then) {
    const planes = this.kept.get(key);
    if (planes) {
      this.kept.delete(key);
      this.kept.set(key, planes);
      return planes;
    }
    if (!this.loading.has(key)) {
      const work = make().then((pictures) => {
        this.keep(key, this.painter.planes(pictures));
        this.loading.delete(key);
      });
      this.loading.set(key, work);
    }
    this.loading.get(key).then(then);
    return null;
  }

  keep(key, planes) {
    this.kept.set(key, planes);
    let total = 0;
    for (const kept of this.kept.values()) total += kept.bytes;
    for (const [old, kept] of this.kept) {
      if (total <= this.room || this.kept.size <= 2) break;
      total -= kept.bytes;
      this.painter.drop(kept);
      this.kept.delete(old);
    }
  }

  clear() {
    this.kept.forEach((planes) => this.painter.drop(planes));
    this.kept.clear();
  }
}
