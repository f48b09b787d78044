// What is kept on this phone: rows in IndexedDB, one database a student. The
// table "entries" has what is logged, by id; "things" has the rest, by name.
const TABLES = { entries: "id", things: "name" };

const done = (request) =>
	new Promise((resolve, reject) => {
		request.onsuccess = () => resolve(request.result);
		request.onerror = () => reject(request.error);
	});

// Change is one transaction: all of it is kept, or nothing.
class Change {
	constructor(tx) {
		this.tx = tx;
	}
	get(table, key) {
		return done(this.tx.objectStore(table).get(key));
	}
	all(table) {
		return done(this.tx.objectStore(table).getAll());
	}
	put(table, row) {
		return done(this.tx.objectStore(table).put(row));
	}
	remove(table, key) {
		return done(this.tx.objectStore(table).delete(key));
	}
}

class Store {
	constructor(db) {
		this.db = db;
		db.onversionchange = () => db.close();
	}

	// change runs what in one transaction, which is on disk when it resolves. What
	// may await nothing but the change it is given.
	async change(what) {
		const tx = this.db.transaction(Object.keys(TABLES), "readwrite", { durability: "strict" });
		const end = new Promise((resolve, reject) => {
			tx.oncomplete = resolve;
			tx.onabort = () => reject(tx.error);
		});
		let result;
		try {
			result = await what(new Change(tx));
		} catch (e) {
			end.catch(() => {});
			try {
				tx.abort();
			} catch {
				// it ended by itself
			}
			throw e;
		}
		await end;
		return result;
	}

	all(table) {
		return new Change(this.db.transaction(table)).all(table);
	}

	// thing is the value kept under a name; undefined where there is none.
	async thing(name) {
		return (await new Change(this.db.transaction("things")).get("things", name))?.value;
	}

	keep(name, value) {
		return this.change((c) => c.put("things", { name, value }));
	}

	drop(name) {
		return this.change((c) => c.remove("things", name));
	}

	close() {
		this.db.close();
	}
}

export async function openStore(name) {
	const request = indexedDB.open(name, 1);
	request.onupgradeneeded = () => {
		for (const [table, keyPath] of Object.entries(TABLES)) request.result.createObjectStore(table, { keyPath });
	};
	return new Store(await done(request));
}

// LEAST is the room, in bytes, under which a session is not begun.
const LEAST = 4 << 20;

// room says whether the phone keeps what it is given: "ok", "loose" where the
// browser may clear it, "full", or "refused".
export async function room(store) {
	try {
		await store.keep("trial", "x".repeat(1 << 16));
		await store.drop("trial");
	} catch (e) {
		return e?.name === "QuotaExceededError" ? "full" : "refused";
	}
	const kept = await navigator.storage?.persist?.();
	const { quota, usage } = (await navigator.storage?.estimate?.()) ?? {};
	if (quota !== undefined && quota - usage < LEAST) return "full";
	return kept ? "ok" : "loose";
}
