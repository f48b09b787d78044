// The plan: from the studio where there is a line, else the last one.
import { openStore } from "./store.js";

const LAST = "aplomb-phone"; // in localStorage: the database of who used it last
const PATIENCE = 4_000; // milliseconds

const nameOf = (plan) => `aplomb-${plan.studio}-${plan.student}`;

// ask fetches the plan: {plan}, or {signedOut} where the way in has ended, or
// nothing where there is no line.
async function ask() {
	try {
		const answer = await fetch("/me/plan", { redirect: "manual", headers: { Accept: "application/json" }, signal: AbortSignal.timeout(PATIENCE) });
		if (answer.ok) return { plan: await answer.json(), fresh: answer.headers.get("X-From") !== "phone" };
		return { signedOut: answer.type === "opaqueredirect" || answer.status === 401 || answer.status === 403 };
	} catch {
		return {};
	}
}

// load gives {plan, store, fresh}: the plan and what is kept for its student.
// plan is undefined where there is none yet, store where the browser keeps
// nothing.
export async function load() {
	const { plan, fresh, signedOut } = await ask();
	let name = plan && nameOf(plan);
	try {
		if (name) localStorage.setItem(LAST, name);
		else name = localStorage.getItem(LAST);
	} catch {
		return { plan, fresh };
	}
	if (!name) return { signedOut };
	try {
		const store = await openStore(name);
		if (plan) await store.keep("plan", plan);
		return { plan: plan ?? (await store.thing("plan")), store, fresh, signedOut };
	} catch {
		return { plan, fresh };
	}
}

// phoneID is the id of this phone, made once.
export async function phoneID(store, newID) {
	return store.change(async (c) => {
		const old = await c.get("things", "phone");
		const value = old?.value ?? newID();
		if (!old) await c.put("things", { name: "phone", value });
		return value;
	});
}

// today is the phone's own day, as 2026-11-25.
export function today(ms) {
	const d = new Date(ms);
	const two = (n) => String(n).padStart(2, "0");
	return `${d.getFullYear()}-${two(d.getMonth() + 1)}-${two(d.getDate())}`;
}
