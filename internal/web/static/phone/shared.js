// What every page of the student has: the service worker, and where things are
// saved.
import { el } from "./draw.js";
import { say } from "./say.js";

// worker installs the script that answers where there is no line.
export function worker() {
	navigator.serviceWorker?.register("/sw.js", { scope: "/me" }).catch(() => {}); // without it the pages need a line
}

// stateLine says in a box where the log is saved, and what went wrong.
export function stateLine(box, { waiting, refused, online, signedOut }) {
	const id = signedOut ? "signin" : waiting === 0 ? "saved" : online ? "waiting" : "offline";
	box.replaceChildren(
		el("p", { class: "kept" }, say(`state.${id}`, { n: waiting })),
		...(refused.length > 0
			? [
					el("p", { class: "fault" }, say("state.refused", { n: refused.length })),
					el("ul", {}, refused.slice(0, 5).map((e) => el("li", {}, say("state.refused.one", { day: e.at.slice(0, 10), say: e.refused.say })))),
				]
			: []),
	);
	box.hidden = false;
}
