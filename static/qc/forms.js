// Help while entering; every form also works without it.

const FIGURES = "input:not([type=hidden], [type=submit], [type=radio], [type=checkbox], :disabled)";

function labelOf(input) {
  const label = input.labels[0];
  const spoken = input.getAttribute("aria-label") || (label ? label.textContent : input.name);
  return spoken.trim().replace(/\s+/g, " ");
}

// Many decimal keypads have no minus: a field that may be negative gets a sign button,
// and only then the keypad.
function addSignButton(input) {
  const button = document.createElement("button");
  button.type = "button";
  button.className = "sign";
  button.textContent = "+/\u2212";
  button.setAttribute("aria-label", `Change the sign of ${labelOf(input)}`);
  button.addEventListener("click", () => {
    const typed = input.value.trim();
    const isNegative = /^[-\u2212]/.test(typed);
    input.value = isNegative ? typed.slice(1).trim() : `-${typed.replace(/^\+/, "")}`;
    input.dispatchEvent(new Event("input", { bubbles: true }));
    input.focus();
  });
  input.inputMode = "decimal";
  input.before(button);
}

// A series is typed without leaving the keypad: Enter goes to the next empty figure,
// and from the last it sends the form.
function nextOnEnter(form) {
  form.addEventListener("keydown", (event) => {
    if (event.key !== "Enter" || event.isComposing || !event.target.matches(FIGURES)) return;
    const inputs = [...form.querySelectorAll(FIGURES)];
    const later = inputs.slice(inputs.indexOf(event.target) + 1);
    const next = later.find((input) => input.value === "");
    if (!next) return;
    event.preventDefault();
    next.focus();
  });
}

// Rain taps and double taps send a form once.
function sendOnce(form) {
  form.addEventListener("submit", (event) => {
    if (event.defaultPrevented) return;
    if (form.dataset.sent) event.preventDefault();
    form.dataset.sent = "yes";
  });
}

// An offered limit is written into its field with its source, there to be changed or kept.
// A field of several inputs is left to the server, which does the same.
function takeOver(button) {
  const { elements } = button.form;
  const name = button.value.split(".")[0];
  const limit = elements[`c-${name}`];
  if (!(limit instanceof Element)) return false;
  limit.value = button.dataset.limit;
  elements[`s-${name}`].value = button.dataset.source;
  const said = button.form.querySelector("[data-said]");
  said.textContent = said.dataset.said;
  return true;
}

function offer(button) {
  button.addEventListener("click", (event) => {
    if (takeOver(button)) event.preventDefault();
  });
}

document.querySelectorAll("button[data-limit]").forEach(offer);
// A field that belongs to one choice of its reading shows with that choice, and where it is filled.
function showChosen(reading) {
  const fields = [...reading.querySelectorAll("[data-only-where]")];
  const show = () => {
    for (const field of fields) {
      const [name, value] = field.dataset.onlyWhere.split("=");
      const chosen = reading.querySelector(`[name$="-${name}"]:checked`);
      const isFilled = [...field.querySelectorAll("input")].some((input) => input.value !== "");
      field.hidden = !isFilled && (!chosen || chosen.value !== value);
    }
  };
  reading.addEventListener("change", show);
  show();
}

document
  .querySelectorAll("fieldset.group")
  .forEach((reading) => reading.querySelector("[data-only-where]") && showChosen(reading));
document.querySelectorAll("input[data-signed]").forEach(addSignButton);
document.querySelectorAll("form[data-next-on-enter]").forEach(nextOnEnter);
document.querySelectorAll("form[method=post]:not([hx-post])").forEach(sendOnce);

// Coming back to the page makes its forms ready again.
addEventListener("pageshow", () => {
  document.querySelectorAll("form[data-sent]").forEach((form) => delete form.dataset.sent);
});
