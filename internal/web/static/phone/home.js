// The student's pages while there is a line: keep the plan for later, send what
// waits, and lead back to a session under way.
import { el } from "./draw.js";
import { newID, Outbox } from "./outbox.js";
import { load, phoneID, today } from "./plan.js";
import { say, speak } from "./say.js";
import { stateLine, worker } from "./shared.js";
import { post, Sync } from "./sync.js";

const box = document.getElementById("state");

worker();
const { plan, store } = await load();
if (plan) {
	speak(plan.words);
	if (store) await keepUp();
	else stateless();
}

function stateless() {
	box.replaceChildren(el("p", { class: "fault" }, say("store.refused")), el("p", {}, say("store.refused.fix")));
	box.hidden = false;
}

async function keepUp() {
	const outbox = new Outbox({ store, send: post, now: () => Date.now(), phone: await phoneID(store, newID), student: plan.student });
	const sync = new Sync(
		outbox,
		async (how) => {
			stateLine(box, how);
			await underWay();
		},
		() => {},
	);
	await sync.kick();
}

// underWay leads to what waits on this phone: a session, or a question.
async function underWay() {
	const run = await store.thing("run");
	const morning = await store.thing("morning");
	if (run) box.append(el("p", {}, say("state.running"), " ", el("a", { class: "button", href: "/me/session" }, say("state.back"))));
	else if (morning && morning.date < today(Date.now())) box.append(el("p", {}, el("a", { class: "button", href: "/me/session" }, say("morning"))));
}
