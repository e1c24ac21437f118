// Tabs of the panel of figures, by pointer and by arrow keys.

import { find, make } from "./dom.js";

/** Make the tabs {id: name}; give functions by id that show them. */
export function tabs(names, shown) {
  const ids = Object.keys(names), show = {};
  const buttons = ids.map((id) => make("button", {
    role: "tab", id: `tab-${id}`, "aria-controls": id, onclick: () => show[id](),
    onkeydown: (event) => {
      const way = { ArrowRight: 1, ArrowLeft: -1 }[event.key];
      if (!way) return;
      const next = ids[(ids.indexOf(id) + way + ids.length) % ids.length];
      show[next]();
      find(`tab-${next}`).focus();
    },
  }, names[id]));
  find("tabs").append(...buttons);
  for (const id of ids) {
    find(id).setAttribute("aria-labelledby", `tab-${id}`);
    show[id] = () => {
      for (const [k, other] of ids.entries()) {
        find(other).hidden = other !== id;
        buttons[k].setAttribute("aria-selected", String(other === id));
        buttons[k].tabIndex = other === id ? 0 : -1;
      }
      shown[id]?.();
    };
  }
  show[ids[0]]();
  return show;
}
