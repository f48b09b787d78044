// A session step by step, without a page and without a clock: act takes the
// state and what was done and gives the next state, with the changes of the log
// that follow from it. The state is plain data, kept after every step.

const HANDS = "hand_load";

// begin is the state at the start of a session of a plan.
// coldHad is how many cold tries the day had before it.
export function begin(plan, day, session, form, { id, now, coldHad }) {
	const whole = form === "planned" ? session : session[form];
	const stops = plan.stops.map((s) => s.no);
	const steps = stepsOf(whole, form === "planned" ? (session.tests ?? []) : [], plan, plan.rules.cold_tries - coldHad);
	const s = {
		id, form, date: day.date, name: day.name, week: session.week, day: session.day, index: session.index,
		began: now, minutes: whole.minutes, phase: "wrists", steps, at: 0, set: 1, tries: [], sets: [], tally: null, total: 0,
		cold: null, coldHad, coldTries: 0, after: {}, marks: {}, words: {}, said: false, stops, undo: [], last: session.last ?? null,
		before: null, site: "", local: null, rest: 0, seconds: 0, going: 0,
	};
	const sampled = steps.filter((p) => p.kind === "drill" && !p.stopped && logs(plan, p.item) && p.item.reps > 1);
	if (sampled.length > 0) sampled[sum(id) % sampled.length].sampled = true;
	return s;
}

const sum = (text) => [...text].reduce((n, c) => (n * 31 + c.charCodeAt(0)) % 65_521, 7);

// logs says whether tries of an item are counted: stretching is only done.
export function logs(plan, item) {
	const d = plan.drills[item.drill];
	return d.measure !== "minutes" && d.kind !== "mobility";
}

// timed says whether a try of a drill has seconds.
export const timed = (drill) => drill.free === true || drill.measure === "hold";

function stepsOf(whole, tests, plan, cold) {
	const steps = [];
	for (const block of whole.blocks) {
		if (block.kind === "log") continue;
		if (block.items.length === 0) steps.push({ kind: "prep", minutes: block.minutes, text: block.text });
		for (const item of block.items) {
			const stopped = plan.drills[item.drill].stopped;
			if (block.kind === "cold" && !stopped && cold > 0) steps.push({ kind: "cold", item: { ...item, reps: Math.min(item.reps, cold), sets: 1 } });
			else if (block.kind !== "cold") steps.push({ kind: "drill", block: block.kind, item, stopped });
		}
		if (block.kind === "cold" || (block.kind === "prep" && !whole.blocks.some((b) => b.kind === "cold"))) {
			for (const test of tests) steps.push({ kind: "test", test });
		}
	}
	return steps;
}

// step is where the session is; undefined past its end.
export const step = (s) => s.steps[s.at];

// mode is how the set at hand is logged: "minutes", "tries" one by one, or
// "tally".
export function mode(plan, s) {
	const p = step(s);
	if (p.kind === "cold") return "tries";
	if (!logs(plan, p.item)) return "minutes";
	return (p.sampled && s.set === 1) || p.item.reps <= 1 ? "tries" : "tally";
}

// left is how many steps are still to come that may be done.
export const left = (s) => s.steps.filter((p, i) => i >= s.at && !p.stopped).length;

// place is which drill this is of how many.
export function place(s) {
	const drills = s.steps.map((p, i) => ({ p, i })).filter(({ p }) => p.item && !p.stopped);
	return { at: drills.findIndex(({ i }) => i === s.at) + 1, all: drills.length };
}

// act does one thing. It gives {state, changes}: changes of the log as an
// outbox takes them.
export function act(plan, state, what, ctx) {
	if (what.do === "undo") return undo(state);
	const s = structuredClone({ ...state, undo: [] });
	const changes = [];
	const was = new Map();
	const log = (id, kind, body, old = null) => {
		changes.push({ id, kind, body });
		was.set(id, { id, kind, body: old });
	};
	ACTS[what.do](s, what, { ...ctx, plan, log });
	if (!SILENT.has(what.do)) s.undo = [...state.undo, { state: { ...state, undo: [] }, back: [...was.values()] }].slice(-20);
	else s.undo = state.undo;
	return { state: s, changes };
}

// What cannot be undone, or is not worth it.
const SILENT = new Set(["count", "start", "adjust", "type", "told", "finish", "cancel"]);

function undo(state) {
	const last = state.undo.at(-1);
	if (!last) return { state, changes: [] };
	return { state: { ...last.state, undo: state.undo.slice(0, -1) }, changes: last.back };
}

const ACTS = {
	// wrists: how they are, 0 to 10.
	wrists(s, { pain, site }, c) {
		s.before = pain;
		s.site = pain > 0 ? site : "";
		c.log(s.id, "session", sessionBody(s));
		if (pain > c.plan.rules.stop_over) {
			stopHands(s, c);
			s.phase = "stop";
		} else enter(s, c);
	},
	// next: on to the next step.
	next(s, _, c) {
		s.at++;
		enter(s, c);
	},
	coldAsked(s, { trained }, c) {
		s.cold = !trained;
		s.phase = "ready";
		enter.set(s, c);
	},
	ready(s, _, c) {
		enter.set(s, c);
		s.phase = "set";
	},
	count(s) {
		s.phase = "count";
	},
	cancel(s) {
		s.phase = "set";
	},
	start(s, _, c) {
		s.rest = 0;
		s.going = c.now;
		s.phase = "going";
	},
	// stop: the clock stopped after so many seconds; wall where it was the one on
	// the wall.
	stop(s, { seconds, wall }) {
		s.seconds = Math.round(seconds * 10) / 10;
		s.wall = wall;
		s.phase = "ended";
	},
	adjust(s, { by }) {
		s.seconds = Math.max(0, Math.round((s.seconds + by) * 10) / 10);
	},
	// end: how a try ended. Seconds are those of the clock, or none.
	end(s, { end, caught, untimed }, c) {
		const seconds = untimed ? undefined : s.seconds;
		if (s.tally) tallyTry(s, c, passed(s, c, seconds, caught), seconds, end);
		else oneTry(s, c, passed(s, c, seconds, caught), seconds, end);
	},
	// tally: one more try of a set that is counted.
	tally(s, { caught }, c) {
		tallyTry(s, c, caught);
	},
	setDone(s, _, c) {
		endSet(s, c);
	},
	minutesDone(s, _, c) {
		const p = step(s);
		c.log(c.newID(), "tally", { ...placeOf(s, p), drill: p.item.drill, tries: 1 });
		s.sets.push(0);
		if (s.set < p.item.sets) s.set++;
		else nextStep(s, c);
	},
	nextSet(s, _, c) {
		const p = step(s);
		keepWords(s, c);
		if (s.set >= p.item.sets) return nextStep(s, c);
		s.set++;
		enter.set(s, c);
		s.phase = "set";
	},
	type(s, { keep, next, note }) {
		if (keep !== undefined) s.words.keep = keep;
		if (next !== undefined) s.words.next = next;
		if (note !== undefined) s.after.note = note;
	},
	mark(s, { mark, drill }, c) {
		const old = s.marks[drill];
		const id = old?.id ?? c.newID();
		const body = { session: s.id, drill, mark };
		c.log(id, "mark", body, old ? { session: s.id, drill, mark: old.mark } : null);
		s.marks[drill] = { id, mark };
	},
	skipDrill(s, _, c) {
		const p = step(s);
		keepWords(s, c);
		c.log(c.newID(), "detour", { ...planned(s), what: "skipped", drill: p.item.drill });
		nextStep(s, c);
	},
	swap(s, { drill }, c) {
		const p = step(s);
		const d = c.plan.drills[drill];
		c.log(c.newID(), "detour", { ...planned(s), what: "swapped", drill: p.item.drill, for: drill });
		p.item = { ...p.item, drill, name: d.name, reps: d.reps || 1, seconds: d.seconds, rest: d.rest, cue: d.cues?.[0], why: "", dose: "" };
		p.swapped = true;
		s.tries = [];
		s.sets = [];
		s.tally = null;
		s.set = 1;
		s.phase = "ready";
	},
	// last: an easy one to finish with.
	last(s, _, c) {
		s.steps = [...s.steps.slice(0, s.at + 1), { kind: "drill", block: "practice", item: { ...s.last, sets: 1 }, finish: true }];
		s.at++;
		enter(s, c);
	},
	goOn(s) {
		s.phase = "afterset";
		step(s).asked = true;
	},
	hurt(s, { pain, site }, c) {
		const before = sessionBody(s);
		s.after.pain = Math.max(s.after.pain ?? 0, pain);
		s.after.site = site;
		c.log(s.id, "session", sessionBody(s), before);
		s.hurt = true;
		if (pain > c.plan.rules.stop_over) {
			stopHands(s, c);
			s.phase = "stop";
		} else s.phase = "hurt-on";
	},
	askHurt(s) {
		s.phase = "hurt";
	},
	enough(s, _, c) {
		if (step(s)?.item) keepWords(s, c);
		s.tally = null;
		s.phase = "after";
	},
	told(s, _, c) {
		if (s.over) s.phase = "end";
		else if (left(s) > 0 && !s.hurt) enter(s, c);
		else s.phase = "after";
	},
	// done: what was said after the session.
	done(s, { after }, c) {
		const before = sessionBody(s);
		s.after = { ...s.after, ...after };
		s.over = true;
		s.took = Math.min(600, Math.max(1, Math.round((c.now - s.began) / 60_000)));
		c.log(s.id, "session", sessionBody(s), before);
		const { pain, numb, swollen } = s.after;
		const worse = numb || swollen || (pain > c.plan.rules.stop_over && !s.local);
		if (worse) stopHands(s, c);
		s.phase = worse ? "stop" : "end";
	},
};

// planned names the session of the plan.
const planned = (s) => ({ week: s.week, day: s.day, session: s.index });

const placeOf = (s, p) => ({ session: s.id, ...(p.item.id && !p.swapped ? { item: p.item.id } : {}), set: s.set });

const known = (o) => Object.fromEntries(Object.entries(o).filter(([, v]) => v !== undefined && v !== null && v !== ""));

// sessionBody is what is known of the session so far.
export function sessionBody(s) {
	const { effort, pain, site, numb, swollen, note, morning } = s.after;
	return known({
		week: s.week, day: s.day, form: s.form, minutes: s.took, effort, pain_site: site || s.site, pain_before: s.before, pain, numb, swollen,
		pain_next_morning: morning, note,
	});
}

// stopHands takes everything with weight on the hands out of what is left.
function stopHands(s, c) {
	s.local = HANDS;
	for (const p of s.steps.slice(s.at)) {
		const strains = p.item && c.plan.drills[p.item.drill].strains;
		if (p.kind === "test" || strains?.some((no) => no === HANDS || no === "inverted")) p.stopped = c.plan.words["stop.hand_load"];
	}
}

// enter begins the step at hand, passing over what is stopped.
function enter(s, c) {
	while (step(s)?.stopped) s.at++;
	const p = step(s);
	s.set = 1;
	s.tries = [];
	s.sets = [];
	s.tally = null;
	s.words = {};
	s.rest = 0;
	if (!p) s.phase = "after";
	else if (p.kind === "drill") s.phase = "ready";
	else if (p.kind === "cold") s.phase = s.cold === null ? "cold" : "ready";
	else s.phase = p.kind;
}

enter.set = (s, c) => {
	s.tries = [];
	s.words = {};
	s.tally = mode(c.plan, s) === "tally" ? { id: c.newID(), tries: 0, caught: 0, times: [] } : null;
};

function nextStep(s, c) {
	s.at++;
	enter(s, c);
}

// passed says whether a try counts: held to the aim, or for a free try caught.
function passed(s, c, seconds, caught) {
	const drill = c.plan.drills[step(s).item.drill];
	if (caught !== undefined) return caught;
	if (drill.free) return seconds !== undefined && seconds >= c.plan.rules.catch_s;
	return seconds !== undefined && seconds >= (step(s).item.seconds || 0);
}

function oneTry(s, c, pass, seconds, end) {
	const p = step(s);
	const warm = p.kind === "cold" && !s.cold;
	const rep = s.tries.length + 1;
	const id = c.newID();
	c.log(id, "try", known({
		...placeOf(s, p), drill: warm ? "open-try" : p.item.drill, rep, passed: pass, seconds, timed: seconds === undefined ? undefined : "stopwatch",
		end, cold: p.kind === "cold" ? s.cold : undefined,
	}));
	s.tries.push({ id, seconds: seconds ?? 0, pass, end });
	s.total++;
	if (p.kind === "cold" && s.cold) s.coldTries++;
	s.going = 0;
	if (end === "pain") s.phase = "hurt";
	else if (rep >= p.item.reps) endSet(s, c);
	else {
		s.phase = "set";
		s.rest = c.now + (p.item.rest ?? 0) * 1000;
	}
}

function tallyTry(s, c, pass, seconds, end) {
	const t = s.tally;
	const old = t.tries > 0 ? tallyBody(s) : null;
	t.tries++;
	if (pass) t.caught++;
	if (seconds !== undefined) t.times = [...t.times, { seconds, pass }];
	s.tries.push({ seconds: seconds ?? 0, pass, end, untimed: seconds === undefined });
	c.log(t.id, "tally", tallyBody(s), old);
	s.total++;
	s.going = 0;
	s.phase = end === "pain" ? "hurt" : "set";
	if (end !== "pain" && t.tries >= step(s).item.reps) endSet(s, c);
	else if (seconds !== undefined) s.rest = c.now + (step(s).item.rest ?? 0) * 1000;
}

function tallyBody(s) {
	const t = s.tally;
	const p = step(s);
	const [best, second] = t.times.filter((x) => x.pass).map((x) => x.seconds).sort((a, b) => b - a);
	return known({ ...placeOf(s, p), drill: p.item.drill, tries: t.tries, caught: t.caught, best, second_best: second, timed: best === undefined ? undefined : "stopwatch" });
}

// endSet is the end of a set: what it came to, and whether sets get worse.
function endSet(s, c) {
	const p = step(s);
	if (s.tries.length > 0) s.sets.push(score(s, c));
	s.rest = c.now + (p.item.rest ?? 0) * 1000;
	s.phase = worse(s.sets, c.plan.rules.worse_sets) && !p.asked && !p.finish && s.last && !c.plan.drills[s.last.drill].stopped ? "worse" : "afterset";
}

// score is a set in one number, more is better: its middle hold, or what
// counted.
function score(s, c) {
	const times = s.tries.filter((t) => !t.untimed).map((t) => t.seconds).sort((a, b) => a - b);
	if (timed(c.plan.drills[step(s).item.drill]) && times.length === s.tries.length) return times[Math.floor(times.length / 2)];
	return s.tries.filter((t) => t.pass).length;
}

// worse says whether the last n sets each went worse than the one before.
export function worse(sets, n) {
	if (sets.length <= n) return false;
	return sets.slice(-n).every((v, i) => v < sets[sets.length - n + i - 1]);
}

// keepWords keeps the lines written after a set, where there are any.
function keepWords(s, c) {
	const keep = s.words.keep?.trim();
	const next = s.words.next?.trim();
	if (keep || next) c.log(c.newID(), "words", known({ session: s.id, drill: step(s).item.drill, set: s.set, keep, next }));
	s.words = {};
}

// unsettled says whether pain of the next morning stops weight on the hands: more
// than before and over 2 of 10, over the limit, or, in a minor's wrist, any.
export function unsettled(plan, session, morning) {
	if (plan.minor && (session.pain_site ?? "wrist") === "wrist" && morning > 0) return "minor";
	if (morning > plan.rules.stop_over || (morning > (session.pain_before ?? 0) && morning > 2)) return "up";
	return "";
}
