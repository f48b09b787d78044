// The log of this phone on its way to the studio. Every entry is on disk here
// first; it is sent in parts, as often as it takes; and nothing is deleted
// before the studio has answered for it.
//
// An entry is {id, n, kind, at, gone, body}: n counts its versions from 1, an
// entry that was undone is gone and has no body. Beside it stand kept, the
// highest n the studio has, and refused, why the studio did not take version
// refused.n.

const PART = 100; // entries in one request
const SIZE = 400_000; // characters of one request

// newID is an id nobody else makes: 16 random bytes, base64url.
export function newID() {
	const bytes = crypto.getRandomValues(new Uint8Array(16));
	return btoa(String.fromCharCode(...bytes)).replaceAll("+", "-").replaceAll("/", "_").replaceAll("=", "");
}

// stamp is a time of the wall clock as RFC 3339 with the phone's offset.
export function stamp(ms) {
	const east = -new Date(ms).getTimezoneOffset();
	const two = (n) => String(Math.trunc(Math.abs(n))).padStart(2, "0");
	const local = new Date(ms + east * 60_000).toISOString().slice(0, -1);
	return `${local}${east < 0 ? "-" : "+"}${two(east / 60)}:${two(east % 60)}`;
}

const waits = (e) => e.kept < e.n && e.refused?.n !== e.n;

export class Outbox {
	// store keeps (store.js), send brings a request to the studio and resolves
	// with its answer, now is the wall clock in milliseconds, phone the id of
	// this phone, student whose log it is.
	constructor({ store, send, now, phone, student }) {
		Object.assign(this, { store, send, now, phone, student, most: PART });
	}

	// commit keeps changes of entries and of things in one go. A change is {id,
	// kind, body}: a new entry, the next version of one that is there, or, with
	// body null, an entry undone. A thing that is undefined is removed.
	commit(changes, things = {}) {
		const at = stamp(this.now());
		return this.store.change(async (c) => {
			for (const { id, kind, body } of changes) {
				const old = await c.get("entries", id);
				if (!old && body === null) continue;
				await c.put("entries", { id, n: (old?.n ?? 0) + 1, kind: old?.kind ?? kind, at: old?.at ?? at, gone: body === null, body, kept: old?.kept ?? 0, refused: old?.refused });
			}
			for (const [name, value] of Object.entries(things)) {
				if (value === undefined) await c.remove("things", name);
				else await c.put("things", { name, value });
			}
		});
	}

	// count says how many entries wait, and which were refused.
	async count() {
		const all = await this.store.all("entries");
		return { waiting: all.filter(waits).length, refused: all.filter((e) => e.refused?.n === e.n && e.kept < e.n) };
	}

	// flush sends all that waits. It resolves with the studio's last answer, or
	// nothing where nothing waited, and rejects where the studio cannot be reached
	// or does not answer for what it was sent.
	flush() {
		this.flying ??= this.#flush().finally(() => {
			this.flying = undefined;
		});
		return this.flying;
	}

	async #flush() {
		for (let last; ; ) {
			const part = this.#part((await this.store.all("entries")).filter(waits));
			if (part.length === 0) return last;
			try {
				last = await this.send({ phone: this.phone, student: this.student, now: stamp(this.now()), entries: part });
			} catch (e) {
				if (e?.status !== 413 || part.length === 1) throw e;
				this.most = Math.ceil(part.length / 2);
				continue;
			}
			await this.#answered(part, last);
		}
	}

	// part is the first entries, the oldest first, as many as fit one request.
	#part(waiting) {
		waiting.sort((a, b) => (a.at < b.at ? -1 : a.at > b.at ? 1 : 0));
		const part = [];
		let size = 0;
		for (const { id, n, kind, at, gone, body } of waiting.slice(0, this.most)) {
			const entry = gone ? { id, n, kind, at, gone } : { id, n, kind, at, gone, body };
			size += JSON.stringify(entry).length;
			if (part.length > 0 && size > SIZE) break;
			part.push(entry);
		}
		return part;
	}

	async #answered(part, answer) {
		const sent = new Map(part.map((e) => [e.id, e.n]));
		let heard = 0;
		await this.store.change(async (c) => {
			heard = 0;
			for (const [id, n] of answer.kept) {
				const e = sent.has(id) && (await c.get("entries", id));
				if (!e) continue;
				await c.put("entries", { ...e, kept: Math.max(e.kept, n), refused: undefined });
				if (n >= sent.get(id)) heard++;
			}
			for (const refused of answer.refused) {
				const e = sent.has(refused.id) && (await c.get("entries", refused.id));
				if (!e) continue;
				await c.put("entries", { ...e, refused });
				heard++;
			}
		});
		if (heard < part.length) throw new Error("unanswered");
	}

	// tidy deletes entries the studio has whole and that were begun before a time
	// (RFC 3339), so that the phone does not fill up.
	async tidy(before) {
		await this.store.change(async (c) => {
			for (const e of await c.all("entries")) {
				if (e.kept >= e.n && Date.parse(e.at) < before) await c.remove("entries", e.id);
			}
		});
	}
}
