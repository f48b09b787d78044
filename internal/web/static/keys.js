// Single keys for a page that is worked through many times a day. What a key
// does stands in the page: data-key on a link or button is pressed, on a field
// gets the focus. Keys inside data-keys are those of the part that has the
// focus; a number goes to the part of that number. They rest while a field has
// the focus, and can be switched off for good on this browser.
const parts = [...document.querySelectorAll("[data-keys]")];
const help = document.querySelector("[data-keys-help]");
const on = document.querySelector("[data-keys-on]");

help.hidden = false;
on.checked = localStorage.getItem("keys") !== "off";
on.addEventListener("change", () => localStorage.setItem("keys", on.checked ? "on" : "off"));

function enter(part) {
	const first = part.querySelector("button");
	first?.focus();
	first?.scrollIntoView({ block: "nearest" });
}

function find(key) {
	const here = document.activeElement?.closest("[data-keys]");
	const own = here?.querySelector(`[data-key="${CSS.escape(key)}"]`);
	return own ?? [...document.querySelectorAll(`[data-key="${CSS.escape(key)}"]`)].find((e) => !e.closest("[data-keys]"));
}

function use(e) {
	e.closest("details")?.setAttribute("open", "");
	if (e.matches("a, button")) e.click();
	else { e.focus(); e.scrollIntoView({ block: "nearest" }); }
}

document.addEventListener("keydown", (event) => {
	const typing = event.target.matches("input:not([type=checkbox]), select, textarea");
	if (!on.checked || typing || event.ctrlKey || event.metaKey || event.altKey || event.isComposing) return;
	const part = parts[Number(event.key) - 1];
	const target = part ?? find(event.key);
	if (!target) return;
	event.preventDefault();
	if (part) enter(part); else use(target);
});

const back = location.hash && document.querySelector(location.hash);
if (back?.matches("[data-keys]")) enter(back);
