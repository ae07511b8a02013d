// Sun view: raises every contrast. The choice is kept in a cookie, so that the server draws
// the next page in it at once.
const YEAR_IN_SECONDS = 31536000;
const root = document.documentElement;
const button = document.querySelector("[data-theme-switch]");

function show(theme) {
  root.dataset.theme = theme;
  button.setAttribute("aria-pressed", String(theme === "sun"));
}

function keep(theme) {
  const secure = location.protocol === "https:" ? "; Secure" : "";
  document.cookie = `theme=${theme}; Path=/; Max-Age=${YEAR_IN_SECONDS}; SameSite=Lax${secure}`;
}

if (button) {
  // A page drawn from a cache may be older than the cookie.
  show(/(?:^|;\s*)theme=sun(?:;|$)/.test(document.cookie) ? "sun" : "light");
  button.hidden = false;
  button.addEventListener("click", () => {
    const theme = root.dataset.theme === "sun" ? "light" : "sun";
    keep(theme);
    show(theme);
  });
}
