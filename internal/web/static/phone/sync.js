// When to send: at once when something was logged or the line comes back, and
// else again and again, each time a little later, until all is at the studio.
const FIRST = 2_000; // milliseconds
const LAST = 300_000;
const LONGEST = 20_000; // one request

// post brings one request of an outbox to the studio.
export async function post(request) {
	const answer = await fetch("/me/sync", {
		method: "POST",
		redirect: "manual",
		headers: { "Content-Type": "application/json", Accept: "application/json" },
		body: JSON.stringify(request),
		signal: AbortSignal.timeout(LONGEST),
	});
	if (answer.ok) return answer.json();
	const failed = new Error("sync");
	failed.status = answer.type === "opaqueredirect" ? 401 : answer.status;
	failed.after = Number(answer.headers.get("Retry-After")) * 1000 || 0;
	throw failed;
}

// Sync sends what an outbox has, and tells changed how things stand: {waiting,
// refused, online, signedOut}.
export class Sync {
	constructor(outbox, changed, arrived) {
		Object.assign(this, { outbox, changed, arrived, wait: FIRST, timer: 0, signedOut: false });
		addEventListener("online", () => this.kick());
		addEventListener("offline", () => this.tell());
		document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && this.kick());
	}

	async tell() {
		this.changed({ ...(await this.outbox.count()), online: navigator.onLine && this.wait === FIRST, signedOut: this.signedOut });
	}

	// kick tries now.
	async kick() {
		clearTimeout(this.timer);
		try {
			const answer = await this.outbox.flush();
			this.wait = FIRST;
			this.signedOut = false;
			if (answer) this.arrived(answer);
		} catch (e) {
			this.signedOut = e.status === 401 || e.status === 403;
			this.later(e.after ?? 0);
		}
		await this.tell();
	}

	later(least) {
		this.wait = Math.min(LAST, this.wait * 2);
		const some = this.wait * (0.5 + Math.random() / 2); // so that a class of phones does not come at once
		this.timer = setTimeout(() => this.kick(), Math.max(least, some));
	}
}
