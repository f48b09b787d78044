// Random schedules for the outbox of a phone: what is logged on two phones of
// one student, with wrong clocks, while the line fails in every way a line can,
// programs are killed and the studio is asked the same twice, has to be at the
// studio in the end, once, and nothing else. It is the body of a function of
// {Outbox, newID, openStore, seed, schedules, real} that gives the number of
// entries, or throws where the two sides differ.

// mulberry32 (T. Ettinger, public domain): the same schedule for the same seed.
function chance(a) {
	return () => {
		a = (a + 0x6d2b79f5) | 0;
		let t = Math.imul(a ^ (a >>> 15), 1 | a);
		t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
		return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
	};
}

// Memory is a store in memory whose changes are whole or not at all; a dead one
// loses the change that was under way.
class Memory {
	constructor() {
		this.rows = { entries: new Map(), things: new Map() };
	}
	async change(what) {
		const next = { entries: new Map(this.rows.entries), things: new Map(this.rows.things) };
		const key = (table, row) => (table === "entries" ? row.id : row.name);
		await what({
			get: async (table, k) => structuredClone(next[table].get(k)),
			all: async (table) => structuredClone([...next[table].values()]),
			put: async (table, row) => void next[table].set(key(table, row), structuredClone(row)),
			remove: async (table, k) => void next[table].delete(k),
		});
		this.check?.(next);
		this.rows = next;
	}
	async all(table) {
		return structuredClone([...this.rows[table].values()]);
	}
}

// Studio keeps of every entry the highest version.
class Studio {
	constructor() {
		this.entries = new Map();
		this.old = [];
	}
	take({ entries }, most = entries.length) {
		const kept = [];
		const refused = [];
		for (const e of entries.slice(0, most)) {
			if (e.body?.bad) {
				refused.push({ id: e.id, n: e.n, field: "seconds", say: "no" });
				continue;
			}
			if ((this.entries.get(e.id)?.n ?? 0) < e.n) this.entries.set(e.id, structuredClone(e));
			kept.push([e.id, e.n]);
		}
		return { kept, refused, plan: "" };
	}
}

async function schedule(seed, open) {
	const random = chance(seed);
	const upTo = (n) => Math.floor(random() * n);
	const studio = new Studio();
	let lost = 0;
	const send = async (request) => {
		const way = random();
		if (way < 0.25) throw new Error("no line");
		if (way < 0.3) throw Object.assign(new Error("busy"), { status: [413, 429, 503][upTo(3)], after: 1 });
		const sent = structuredClone(request);
		studio.old.push(sent);
		if (way < 0.4) {
			studio.take(sent);
			throw new Error("the answer was lost");
		}
		if (way < 0.5) return studio.take(sent, upTo(sent.entries.length + 1)); // in part
		if (way < 0.6) sent.entries.reverse();
		return studio.take(sent);
	};
	let line = send;
	const phones = [];
	for (let i = 0; i < 2; i++) {
		const store = await open(`${seed}-${i}`);
		const shift = (upTo(7) - 3) * 3_600_000;
		phones.push({ store, truth: new Map(), make: () => new Outbox({ store, send: (r) => line(r), now: () => 1.8e12 + shift + upTo(1e6), phone: `p${i}` }) });
		phones[i].box = phones[i].make();
	}
	for (let step = 0; step < 40; step++) {
		const p = phones[upTo(2)];
		const ids = [...p.truth.keys()];
		const what = random();
		if (what < 0.45 || ids.length === 0) {
			const id = newID();
			const body = { seconds: upTo(100), ...(random() < 0.1 ? { bad: true } : {}) };
			await p.box.commit([{ id, kind: "try", body }]);
			p.truth.set(id, body);
		} else if (what < 0.6) {
			const id = ids[upTo(ids.length)];
			const body = random() < 0.4 ? null : { seconds: upTo(100) };
			if (!(await p.store.all("entries")).some((e) => e.id === id)) continue; // tidied: it cannot be edited any more
			await p.box.commit([{ id, kind: "try", body }]);
			p.truth.set(id, body);
		} else if (what < 0.8) {
			await p.box.flush().catch(() => lost++);
		} else if (what < 0.85) {
			const flying = p.box.flush().catch(() => lost++);
			const id = newID();
			await p.box.commit([{ id, kind: "try", body: { seconds: 1 } }]); // logged while it is sent
			p.truth.set(id, { seconds: 1 });
			await flying;
		} else if (what < 0.9) {
			p.box = p.make(); // killed, and opened again
		} else if (what < 0.95 && studio.old.length > 0) {
			studio.take(studio.old[upTo(studio.old.length)]); // an old request comes late
		} else await p.box.tidy(2e12);
	}
	line = async (request) => studio.take(structuredClone(request));
	for (const p of phones) {
		await p.box.flush();
		const { waiting } = await p.box.count();
		if (waiting !== 0) throw new Error(`${seed}: ${waiting} wait`);
	}
	let n = 0;
	for (const p of phones) {
		for (const [id, body] of p.truth) {
			const there = studio.entries.get(id);
			n++;
			if (body?.bad) {
				if (there) throw new Error(`${seed}: what was refused is there`);
				if (!(await p.store.all("entries")).some((e) => e.id === id && e.refused)) throw new Error(`${seed}: what was refused is not on the phone`);
				continue;
			}
			const was = there && !there.gone ? JSON.stringify(there.body) : "null";
			const refusedAtFirst = body === null && !there;
			if (was !== JSON.stringify(body) && !refusedAtFirst) throw new Error(`${seed}: ${id} is ${was}, not ${JSON.stringify(body)}`);
		}
	}
	if (studio.entries.size > n) throw new Error(`${seed}: the studio has more`);
	return { n, lost };
}

let entries = 0;
let lost = 0;
for (let i = 0; i < schedules; i++) {
	const done = await schedule(seed + i, async (name) => {
		if (real) return openStore(`schedule-${name}`);
		const memory = new Memory();
		memory.check = (next) => {
			for (const [id, e] of memory.rows.entries) {
				if (!next.entries.has(id) && e.kept < e.n) throw new Error(`${seed + i}: deleted before it was kept`);
			}
		};
		return memory;
	});
	entries += done.n;
	lost += done.lost;
}
return [entries, lost];
