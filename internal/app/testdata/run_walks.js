// Random walks through a session: whatever is pressed in whatever order, every
// state can be gone on from, undo gives back the state and the log of before,
// every try is logged once, and after a stop nothing with weight on the hands
// comes any more. It is the body of a function of {act, begin, mode, step, worse,
// unsettled, plan, walks} that gives the number of steps, or throws.
let seed = 7;
const random = () => ((seed = (seed * 48271) % 2147483647) / 2147483647);
const pick = (list) => list[Math.floor(random() * list.length)];
const same = (a, b) => JSON.stringify(a) === JSON.stringify(b);
const bare = (s) => ({ ...s, undo: [] });

// presses are what a view of the state offers.
function presses(s) {
	const p = step(s);
	const menu = [{ do: "skipDrill" }, { do: "askHurt" }, { do: "enough" }];
	const easier = p?.item && plan.drills[p.item.drill].easier;
	if (easier && p.kind === "drill" && !plan.drills[easier].stopped) menu.push({ do: "swap", drill: easier });
	switch (s.phase) {
		case "wrists":
			return [0, 0, 1, 2, 3, 4, 5, 6, 9].map((pain) => ({ do: "wrists", pain, site: "wrist" }));
		case "prep":
		case "test":
			return [{ do: "next" }];
		case "cold":
			return [true, false].map((trained) => ({ do: "coldAsked", trained }));
		case "ready":
			return [...Array(4).fill({ do: "ready" }), ...menu];
		case "set":
			if (mode(plan, s) === "minutes") return [...Array(3).fill({ do: "minutesDone" }), ...menu];
			if (mode(plan, s) === "tally") {
				return [{ do: "tally", caught: true }, { do: "tally", caught: false }, { do: "start" }, ...(s.tally.tries > 0 ? [{ do: "setDone" }] : []), ...menu];
			}
			return [...Array(3).fill({ do: "start" }), { do: "count" }, ...[true, false].map((caught) => ({ do: "end", untimed: true, caught })), ...menu];
		case "count":
			return [{ do: "start" }, { do: "cancel" }];
		case "going":
			return [{ do: "stop", seconds: random() * 12, wall: false }];
		case "ended":
			if (s.tally) return [{ do: "end" }, { do: "end", untimed: true, caught: false }];
			return [{ do: "adjust", by: -0.5 }, { do: "end", untimed: true, caught: false }, ...plan.drills[p.item.drill].ends.map((end) => ({ do: "end", end }))];
		case "afterset":
			return [...Array(3).fill({ do: "nextSet" }), { do: "type", keep: "tall" }, { do: "mark", mark: pick(["helped", "confusing"]), drill: p.item.drill }, ...menu];
		case "worse":
			return [{ do: "last" }, { do: "goOn" }, { do: "enough" }];
		case "hurt":
			return [1, 3, 5, 6, 8].map((pain) => ({ do: "hurt", pain, site: "wrist" }));
		case "hurt-on":
			return [{ do: "enough" }, { do: "skipDrill" }];
		case "stop":
			return [{ do: "told" }];
		case "after":
			return [{ do: "done", after: { effort: 5, pain: pick([0, 2, 4, 7]), numb: random() < 0.1, swollen: false } }];
	}
	throw new Error(s.phase);
}

// keep puts changes into a log as an outbox does.
function keep(log, changes) {
	for (const { id, kind, body } of changes) {
		if (body === null) log.delete(id);
		else log.set(id, { kind, body });
	}
	return log;
}

const flat = (log) => [...log].map((row) => JSON.stringify(row)).sort();

const count = (log) => [...log.values()].reduce((n, { kind, body }) => n + (kind === "try" ? 1 : kind === "tally" && "caught" in body ? body.tries : 0), 0);

let steps = 0;
const met = new Set();
for (let w = 0; w < walks; w++) {
	const day = pick(plan.days.filter((d) => d.sessions.length > 0));
	const session = day.sessions[0];
	const form = pick(["planned", "planned", ...(session.tired ? ["tired"] : []), ...(session.five ? ["five"] : [])]);
	let ids = 0;
	let now = 1.8e12;
	const newID = () => `w${w}-${ids++}`;
	let s = begin(plan, day, session, form, { id: newID(), now, coldHad: 0 });
	let log = new Map();
	for (let n = 0; s.phase !== "end"; n++) {
		if (n > 600) throw new Error(`walk ${w} does not end: ${s.phase}`);
		now += 20_000;
		met.add(s.phase);
		const before = s;
		const kept = JSON.stringify(before);
		const logBefore = new Map(log);
		const what = pick(presses(s));
		const { state, changes } = act(plan, s, what, { now, newID });
		if (JSON.stringify(before) !== kept) throw new Error("act changed what it was given");
		s = JSON.parse(JSON.stringify(state)); // as it comes back from the disk
		log = keep(log, changes);
		steps++;
		if (count(log) !== s.total) throw new Error(`walk ${w}: ${what.do}: ${count(log)} tries logged, ${s.total} made`);
		const p = step(s);
		if (s.local && p?.item && ["ready", "set", "going"].includes(s.phase) && plan.drills[p.item.drill].strains?.includes("hand_load")) throw new Error(`walk ${w}: ${p.item.drill} after a stop`);
		if (s.undo.length > before.undo.length) {
			const back = act(plan, s, { do: "undo" }, { now, newID });
			const undone = keep(new Map(log), back.changes);
			if (!same(bare(back.state), bare(before))) throw new Error(`walk ${w}: undo of ${what.do} in ${before.phase}`);
			if (!same(flat(undone), flat(logBefore))) throw new Error(`walk ${w}: undo of ${what.do} leaves another log`);
			if (random() < 0.2 && n < 300) [s, log] = [back.state, undone];
		}
	}
}
for (const phase of ["wrists", "prep", "cold", "ready", "set", "count", "going", "ended", "afterset", "hurt", "hurt-on", "stop", "after"]) {
	if (!met.has(phase)) throw new Error(`no walk came through ${phase}`);
}
for (const [sets, want] of [[[], false], [[5, 4, 3], true], [[5, 4, 4], false], [[9, 5, 6, 5, 4], true], [[5, 4], false]]) {
	if (worse(sets, 2) !== want) throw new Error(`worse ${sets}`);
}
for (const [minor, session, morning, want] of [
	[false, { pain: 4, pain_before: 0 }, 2, ""],
	[false, { pain: 4, pain_before: 0 }, 3, "up"],
	[false, { pain: 4, pain_before: 4 }, 4, ""],
	[false, { pain: 4, pain_before: 7 }, 6, "up"],
	[true, { pain: 4, pain_site: "wrist" }, 1, "minor"],
	[true, { pain: 4, pain_site: "back" }, 1, ""],
]) {
	if (unsettled({ ...plan, minor }, session, morning) !== want) throw new Error(`unsettled ${JSON.stringify(session)} ${morning}`);
}
return steps;
