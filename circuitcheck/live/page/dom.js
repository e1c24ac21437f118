// Small helpers to make and find elements.

export const find = (id) => document.getElementById(id);

/** Make an element: make("button", {class: "x", onclick}, "text", otherElement). */
export function make(kind, about = {}, ...inside) {
  const made = document.createElement(kind);
  for (const [name, value] of Object.entries(about)) {
    if (name.startsWith("on")) made.addEventListener(name.slice(2), value);
    else if (value === true) made.setAttribute(name, "");
    else if (value !== false && value != null) made.setAttribute(name, value);
  }
  made.append(...inside.filter((one) => one != null));
  return made;
}

/** Put other children into an element. */
export function fill(element, ...inside) {
  element.replaceChildren(...inside.filter((one) => one != null));
}

/** Wait until nothing has been called for a while, then do it once. */
export function settled(wait, act) {
  let timer = 0;
  const calling = () => { clearTimeout(timer); timer = setTimeout(act, wait); };
  calling.cancel = () => clearTimeout(timer);
  return calling;
}

/** Let those who do not see the page hear of something. */
export function heard(text) {
  const place = find("heard");
  if (place.textContent !== text) place.textContent = text;
}
