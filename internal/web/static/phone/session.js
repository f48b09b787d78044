// The session on the phone: which day, in which form, and then step by step.
import { awake, beep, listen, Stopwatch } from "./clock.js";
import { button, el } from "./draw.js";
import { newID, Outbox } from "./outbox.js";
import { load, phoneID, today } from "./plan.js";
import { act, begin, step, unsettled } from "./run.js";
import { say, speak } from "./say.js";
import { stateLine, worker } from "./shared.js";
import { room } from "./store.js";
import { post, Sync } from "./sync.js";
import { scale, view } from "./views.js";
import { before, pick } from "./before.js";

const COUNT_IN = 5; // seconds
const main = document.getElementById("main");
const bar = document.getElementById("bar");
const watch = new Stopwatch();

let app; // {plan, store, outbox, sync}
let run; // {plan, s}: the session under way, with the plan it goes by
let after = {};
let count = 0;
let toldWhy = false;

const show = (...kids) => {
	main.replaceChildren(...kids.flat(3).filter(Boolean));
	(main.querySelector(".whole") ?? main.querySelector("h1"))?.focus({ preventScroll: true });
	scrollTo(0, 0);
	tick();
};

async function boot() {
	worker();
	const { plan, store, fresh, signedOut } = await load();
	if (!plan) {
		document.getElementById("noplan").hidden = false;
		main.hidden = true;
		if (signedOut) location.assign("/me");
		return;
	}
	speak(plan.words);
	document.documentElement.lang = plan.language;
	if (!store) return show(refusal("refused"));
	const outbox = new Outbox({ store, send: post, now: () => Date.now(), phone: await phoneID(store, newID), student: plan.student });
	app = { plan, store, outbox, today: today(Date.now()) };
	app.sync = new Sync(outbox, (how) => stateLine(bar, how), arrived);
	const kept = await store.thing("run");
	if (kept && kept.s.phase !== "gone") {
		run = kept;
		after = { ...run.s.after };
		if (run.s.phase === "count") run.s.phase = "set";
		draw();
	} else await home();
	await app.sync.tell();
	if (fresh) await app.sync.kick();
	else app.sync.later(0);
}

// arrived is when the studio has answered: what this phone stopped by itself now
// stands in a plan of the studio's, or it does not.
async function arrived(answer) {
	if (answer.plan === app.mark && !(await app.store.thing("stop"))) return;
	const { plan, store, fresh } = await load();
	store?.close(); // app has it open already
	if (!plan || !fresh || plan.student !== app.plan.student) return;
	app.plan = plan;
	app.mark = answer.plan;
	if ((await app.outbox.count()).waiting === 0) await app.store.drop("stop");
}

const refusal = (why) => [
	el("h1", { tabindex: "-1" }, say(`store.${why}`)),
	el("p", {}, say(`store.${why}.fix`)),
	el("a", { class: "button", href: `/me/day/${app?.today ?? today(Date.now())}` }, say("read")),
];

// home is the days, or the day that was asked for.
async function home() {
	awake(false);
	const morning = await app.store.thing("morning");
	if (morning && morning.date < today(Date.now())) return askMorning(morning);
	const asked = location.hash.slice(1) || /\/me\/day\/([-0-9]+)$/.exec(location.pathname)?.[1];
	const context = {
		...app,
		plan: await planNow(),
		detours: (await app.store.thing("detours")) ?? {},
		done: (await app.store.thing("done")) ?? {},
		go: (date) => {
			history.replaceState(null, "", date ? `#${date}` : "#");
			home();
		},
		start,
		change: async (changes, things) => {
			await app.outbox.commit(changes, things);
			app.sync.kick();
			await home();
		},
	};
	const day = context.plan.days.find((d) => d.date === asked);
	show(day ? before(context, day) : pick(context));
}

async function start(day, session, form) {
	const how = await room(app.store);
	if (how === "refused" || how === "full") return show(refusal(how));
	const cold = await app.store.thing("cold");
	const coldHad = cold?.date === day.date ? cold.n : 0;
	const plan = { ...(await planNow()), days: undefined };
	run = { plan, s: begin(plan, day, session, form, { id: newID(), now: Date.now(), coldHad }) };
	after = {};
	await app.store.keep("run", run);
	const toldLoose = await app.store.thing("loose");
	if (how === "loose" && !toldLoose) {
		await app.store.keep("loose", true);
		show(el("h1", { tabindex: "-1" }, say("session")), el("p", { class: "note" }, say("store.loose")), button(say("go"), draw, "go"));
	} else draw();
}

// planNow is the plan with what this phone stopped by itself since.
async function planNow() {
	const { plan } = app;
	const stop = await app.store.thing("stop");
	if (!stop || plan.stops.some((x) => x.no === stop.no)) return plan;
	const text = plan.words[`stop.${stop.no}`];
	const stopped = (d) => (d.strains ?? []).some((no) => no === stop.no || no === "inverted");
	return {
		...plan,
		stops: [...plan.stops, { no: stop.no, text }],
		drills: Object.fromEntries(Object.entries(plan.drills).map(([id, d]) => [id, stopped(d) ? { ...d, stopped: d.stopped ?? text } : d])),
	};
}

// Every step is kept whole before it shows: a phone that dies goes on here.
let last = Promise.resolve();
const perform = (what) => (last = last.then(() => one(what)).catch(broken));

function broken(e) {
	show(el("h1", { tabindex: "-1" }, say(e?.name === "QuotaExceededError" ? "store.full" : "store.refused")), el("p", {}, say(e?.name === "QuotaExceededError" ? "store.full.fix" : "store.refused.fix")));
	throw e;
}

async function one(what) {
	const old = run.s;
	const { state, changes } = act(run.plan, old, what, { now: Date.now(), newID });
	const things = { run: { plan: run.plan, s: state } };
	if (state.local) things.stop = { no: state.local, session: state.id };
	else if (old.local) things.stop = undefined;
	if (state.coldTries !== old.coldTries) things.cold = { date: state.date, n: state.coldHad + state.coldTries };
	await app.outbox.commit(changes, things);
	run = things.run;
	if (state.rest > Date.now() && !state.said) {
		toldWhy = true;
		run.s.said = true;
	} else if (what.do !== "type") toldWhy = false;
	if (state.phase === "after" && old.phase !== "after") after = { ...state.after }; // what is not answered stays unknown
	if (what.do !== "type") draw();
	if (changes.length > 0) app.sync.kick();
}

function draw() {
	const p = step(run.s);
	awake(run.s.phase !== "end");
	show(
		view({
			plan: run.plan, s: run.s, drill: p?.item ? run.plan.drills[p.item.drill] : {}, after, restWhy: toldWhy,
			do: perform, draw, start: startClock, countIn, stop: stopClock, leave,
		}),
		run.s.undo.length > 0 && run.s.phase !== "going" && run.s.phase !== "end" && button(say("undo"), () => perform({ do: "undo" }), "quietly"),
	);
}

function startClock() {
	listen();
	watch.start();
	perform({ do: "start" });
}

function stopClock() {
	const { seconds, wall } = watch.read(run.s.going);
	watch.reset();
	perform({ do: "stop", seconds, wall });
}

function countIn() {
	listen();
	count = performance.now() + COUNT_IN * 1000;
	perform({ do: "count" });
	let beeps = COUNT_IN;
	const timer = setInterval(() => {
		if (run.s.phase !== "count") return clearInterval(timer);
		beeps--;
		beep(beeps === 0);
		if (beeps > 0) return;
		clearInterval(timer);
		startClock();
	}, 1000);
}

let rested = true;
const TICKS = {
	rest: () => Math.max(0, Math.ceil((run.s.rest - Date.now()) / 1000)),
	going: () => Math.floor(watch.read(run.s.going).seconds),
	count: () => Math.max(0, Math.ceil((count - performance.now()) / 1000)),
};

// tick writes the running numbers, and tells when a rest is over.
function tick() {
	for (const e of document.querySelectorAll("[data-tick]")) {
		const n = TICKS[e.dataset.tick]();
		e.textContent = say("rest.left", { n });
	}
	if (!run) return;
	const over = !rested && run.s.rest <= Date.now();
	rested = run.s.rest <= Date.now();
	if (!over || (run.s.phase !== "set" && run.s.phase !== "afterset")) return;
	beep();
	draw();
}
setInterval(tick, 250);

async function leave() {
	const { s } = run;
	const done = (await app.store.thing("done")) ?? {};
	done[[s.week.split("/").slice(0, 2).join("/"), s.day, s.index].join("|")] = s.date;
	const things = { run: undefined, done };
	if (s.after.pain >= run.plan.rules.ask_morning) {
		things.morning = { id: s.id, date: today(Date.now()), day: s.name, body: (await app.store.all("entries")).find((e) => e.id === s.id)?.body };
	}
	await app.outbox.commit([], things);
	await app.outbox.tidy(Date.now() - 7 * 86_400_000);
	run = undefined;
	location.assign("/me");
}

// askMorning asks how it is the morning after pain.
function askMorning(morning) {
	const { plan } = app;
	const answer = async (n) => {
		const stop = unsettled(plan, morning.body, n);
		const things = { morning: undefined };
		if (stop) things.stop = { no: "hand_load", session: morning.id };
		await app.outbox.commit([{ id: morning.id, kind: "session", body: { ...morning.body, pain_next_morning: n } }], things);
		app.sync.kick();
		if (!stop) return home();
		show(el("h1", { tabindex: "-1" }, say("stopnow")), el("p", { class: "caution" }, say(`morning.${stop}`)), button(say("stopnow.read"), home, "go"));
	};
	show(el("h1", { tabindex: "-1" }, say("morning")), el("p", {}, say("morning.text", { n: morning.body.pain, day: morning.day })), scale(say("morning"), answer));
}

addEventListener("hashchange", () => app && !run && home());
document.addEventListener("visibilitychange", () => run && awake(run.s.phase !== "end"));
await boot();
