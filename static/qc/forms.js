// Help while entering; every form also works without it.

// Many decimal keypads have no minus: a field that may be negative gets a sign button, and only then the keypad.
function addSignButton(input) {
  const button = document.createElement("button");
  const label = input.labels.length ? input.labels[0].textContent.trim().replace(/\s+/g, " ") : input.name;
  button.type = "button";
  button.className = "sign";
  button.textContent = "+/\u2212";
  button.setAttribute("aria-label", `Change the sign of ${label}`);
  button.addEventListener("click", () => {
    const typed = input.value.trim();
    input.value = /^[-\u2212]/.test(typed) ? typed.slice(1).trim() : `-${typed.replace(/^\+/, "")}`;
    input.dispatchEvent(new Event("input", { bubbles: true }));
    input.focus();
  });
  input.inputMode = "decimal";
  input.before(button);
}

// A series is typed without leaving the keypad: Enter goes to the next empty figure, and sends the form from the last.
function nextOnEnter(form) {
  form.addEventListener("keydown", (event) => {
    if (event.key !== "Enter" || event.isComposing || !event.target.matches("input:not([type=submit])")) return;
    const inputs = [...form.querySelectorAll("input:not([type=hidden]):not([type=radio]):not([type=checkbox]):not(:disabled)")];
    const next = inputs.slice(inputs.indexOf(event.target) + 1).find((input) => input.value === "");
    if (!next) return;
    event.preventDefault();
    next.focus();
  });
}

// Rain taps and double taps send a form once. Coming back to the page makes it ready again.
function sendOnce(form) {
  form.addEventListener("submit", (event) => {
    if (event.defaultPrevented) return;
    if (form.dataset.sent) event.preventDefault();
    form.dataset.sent = "yes";
  });
}

function enhance(scope) {
  for (const input of scope.querySelectorAll("input[data-signed]:not([data-sign-added])")) {
    input.dataset.signAdded = "yes";
    addSignButton(input);
  }
  for (const form of scope.querySelectorAll("form[data-next-on-enter]")) nextOnEnter(form);
  for (const form of scope.querySelectorAll("form[method=post]:not([hx-post])")) sendOnce(form);
}

enhance(document);
addEventListener("pageshow", () => document.querySelectorAll("form[data-sent]").forEach((form) => delete form.dataset.sent));
